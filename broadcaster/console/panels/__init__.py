"""The panels of the screen, one file each. Where they stand:

    dial       callsign, frequency, session clock; the scale is the item on air, in seconds
    message    a question, an answer, a trouble, or what the keys do
    sign       only while it holds: PLAIN VOICE, HELD, STALLED, and what can be done
    on_air     what is on air: large, and its whole text
    coming     what is next, and after that
    index      the plates of the sheets
    ...        the sheet on top: segments, session, announce, signal, logsheet or plain
    facts      what the room has told        |  pace   the milestones
    output     the output and its level
    log        the last lines

On a wide terminal the sheets stand to the right of `on_air` and `coming`; facts and pace always
stand below the sheet there, on a narrow one beside the segments. `help` covers all but the dial,
the message line and the sign.
"""
