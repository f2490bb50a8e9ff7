"""The panels of the screen, one file each. Where they stand:

    dial       callsign, frequency, session clock; the scale is the item on air, in seconds
    message    a question, a trouble, an answer, or what the keys do
    on_air     what is on air: large, and its whole text
    coming     what is next, and after that
    segments   where the story can go          |  facts   what the room has told
    output     the output and its level
    log        the last lines

On a wide terminal `segments` and `facts` stand to the right of `on_air` and `coming`.
"""
