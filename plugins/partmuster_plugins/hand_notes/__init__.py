"""Hand notes: texts, letters, e-mails and pages of prose that members write."""
