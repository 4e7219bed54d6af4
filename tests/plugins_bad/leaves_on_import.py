import sys

sys.exit("good bye")
