"""What a user does, one function each: plan a job, check it, solve a case, run a calculator.

The command line and the browser pages call only this package. A function here
reads what it is given, lets the packages below do the work, and returns a
report that knows its text, its plain data and its exit status. It never prints.
"""
