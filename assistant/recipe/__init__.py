"""A recipe file read, checked and turned into frozen types; the only room that knows YAML.

Units: spans are whole ms, volumes whole ml, lengths mm, temperatures degrees Celsius; steps count from 0 in
paths, from one in words.
"""
