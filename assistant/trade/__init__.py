"""What a printer works out in the head: pure functions over the standard library, nothing else.

A number that no darkroom has is refused everywhere with `limits.Impossible`, a text that can't be read with
`quantities.Misread`, of which the first is a kind.

Units: times are whole ms, lengths mm, volumes ml, temperatures degrees Celsius, light stops; where chemistry is used up,
sheets of 8x10 in.
"""
