"""The engine is the ordered tuple RULES; each rule stands in the file of its name."""
