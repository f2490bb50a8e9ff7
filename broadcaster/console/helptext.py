"""What the help page says: pairs of a key and what it does; a heading has no words, a sentence no
key."""

LEAVING = "closes this console, and takes nothing off air."
"""What Ctrl+Q does at a console of another machine's station, and at a recording."""
PAGE: tuple[tuple[str, str], ...] = (
    ("WHAT YOU SEE", ""),
    (
        "",
        "At the top the station, the session's clock and how much is left. Below, large, what is "
        "being said now, and what comes next. Below that lie sheets, one on top: Tab turns to the "
        "next. The last lines tell what happened.",
    ),
    (
        "",
        "Under the top line stands an answer to whatever you press, in one sentence. Letters and "
        "figures alone are never heard on air. An end, a reset, the plain voice and what would cut "
        "a clue ask first: Enter is yes, Esc is no, and no answer is no. Keys that are shown can "
        "be clicked, too.",
    ),
    ("1. A TEAM BEGINS", ""),
    ("Ctrl+S", "begins a session: the clock runs, the opening goes out."),
    (
        "Ctrl+O",
        "holds it (the phone rings, a door sticks): carrier and bed stay on air, the story "
        "and its clock wait. The same key lets it go on; Ctrl+Z does neither.",
    ),
    ("2. TO ANOTHER PART OF THE STORY", ""),
    (
        "Esc",
        "lays the sheet SEGMENTS on top. Type a segment's number or name, or use ↑ ↓: "
        "each jump is chosen anew.",
    ),
    ("Enter", "jumps there after the item on air."),
    ("Ctrl+R", "jumps there after this round: nothing is left out."),
    ("Ctrl+N", "jumps there now. What would cut a clue, or begin again what runs, asks first."),
    (
        "→",
        "chooses what lies between for the next jump: a cut, a static burst, a fade, a retune "
        "sweep, a carrier drop; else it is as the script says.",
    ),
    ("Ctrl+Z", "takes back a jump that waits; its countdown stands at its segment."),
    ("3. THE TEAM IS STUCK", ""),
    (
        "",
        "STALLED in large letters means that a milestone is late. Beside it stand the next hint "
        "and the segments to which the script can lead. It hangs there until the milestone is met.",
    ),
    ("Ctrl+G", "gives the next hint, after the item on air."),
    ("4. TO SAY SOMETHING YOURSELF", ""),
    ("Ctrl+A", "opens a line. Write; the station says it in its own voice and sound."),
    (
        "Enter",
        "says it after the item on air; Ctrl+N says it now: a clue is cut only after a question, "
        "and what is cut is sent again.",
    ),
    ("Ctrl+L", "lets you hear it first in your headphones, if the station has a monitor."),
    (
        "↑ ↓",
        "bring back what was said, or taken back, before. Ctrl+Z takes back what waits, or is on "
        "air.",
    ),
    ("5. TO STOP THE GAME FOR REAL", ""),
    (
        "Ctrl+P",
        "twice, or held: the plain voice. Without any sound of the period, at full level, "
        "again and again until you stop it, it asks everyone to leave; the session is held. ↓ "
        "takes words of your own instead, which Enter and Enter send.",
    ),
    (
        "",
        "It never replaces the venue's own alarm and evacuation arrangements, and it is loud. "
        "Whoever does not listen does not hear it: go to them.",
    ),
    ("Ctrl+P", "and Enter stop it. Ctrl+O then lets the session go on."),
    ("6. THE NEXT TEAM", ""),
    (
        "Ctrl+E",
        "ends the session. Ctrl+X resets all: facts, milestones, hints. Both ask first, and "
        "for a minute Ctrl+Z brings the session back. Then Ctrl+S begins anew.",
    ),
    ("WHAT ELSE THERE IS", ""),
    (
        "FACTS",
        "what the room has told, by whom and when. + - Space set one by hand, when a sensor "
        "has failed.",
    ),
    ("SESSION", "the milestones with their times, the next hint, where the story can go."),
    (
        "SIGNAL",
        "how strong the signal is and how readable all is to be: ↑ ↓ choose a slider, ← → move "
        "it, Space leaves it to the script. Below, the level with its peaks, and whether the "
        "output plays without a gap.",
    ),
    ("LOG", "all that happened; ← → show only what was aired, the story, or faults."),
    (
        "Ctrl+Z",
        "takes back what can be, the last act first: a jump, a hint that waits, an announcement, a "
        "fact, a slider, an end. It brings back nothing that was heard, no milestone that was met, "
        "no segment that was left, and nothing of an earlier session.",
    ),
    ("Ctrl+T", "light: day or night."),
    (
        "Ctrl+Q",
        "takes the station off air, for good. If this window dies or is closed instead, the "
        "broadcast goes on; the same command opens it again.",
    ),
)
