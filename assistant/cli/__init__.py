"""The commands: a module for each reads the call's words and hands what was asked for to the rooms below."""
