"""Pictures drawn on the server: plain data in, plain view models out (x and width in per cent, as text).

A picture never decides anything: it merges equal quarters into runs, places them and puts them into words. Its
table twin is made from the same runs.
"""
