"""What a proof found, as faults and advice with their places in the script."""

from collections.abc import Iterator

from broadcaster.errors import Fault
from broadcaster.rehearsal.proof import DeadExit, Proof, Trap
from broadcaster.rehearsal.proof_story import listed, told
from broadcaster.script.loading import Examination


def proof_faults(proof: Proof, examination: Examination) -> Iterator[Fault]:
    """What must be mended."""
    for dead in proof.dead:
        if dead.segment in proof.reached:
            yield _dead_exit(dead, examination)
    for circle in proof.circles:
        yield Fault(
            examination.key_place_of("segments", circle[0]),
            f"{listed(circle)} can lead into each other and send nothing.",
            "Add an item that always goes out, or take `at once` from an exit.",
        )
    if proof.trap:
        yield _trap(proof.trap, proof, examination)


def proof_advice(proof: Proof, examination: Examination) -> Iterator[Fault]:
    """What may be meant as it is, and what could not be proved."""
    if proof.undecided:
        yield Fault(
            examination.key_place_of("segments"),
            proof.undecided,
            "Nothing is said about traps and exits that are never taken.",
        )
        return
    known = {fault.place for fault in examination.advice}
    segments = examination.programme.segments if examination.programme else {}
    for segment in segments:
        place = examination.key_place_of("segments", segment)
        if segment not in proof.reached and place not in known:
            yield Fault(
                place,
                f"The story never comes to `{segment}`: only the operator can put it on air.",
                "If that is not meant, mend the exits that lead to it.",
            )
    for dead in proof.dead:
        if dead.segment not in proof.reached:
            yield _dead_exit(dead, examination)


def _dead_exit(dead: DeadExit, examination: Examination) -> Fault:
    place = examination.place_of("segments", dead.segment, "exits", dead.number)
    if dead.shadowed:
        return Fault(
            place,
            "This exit is never taken: whenever it holds, one above it does too.",
            "Move it up, or narrow the one above.",
        )
    return Fault(
        place,
        f"This exit is never taken: nothing brings about its `when` in `{dead.segment}`.",
        "Mend its `when`, or take it out.",
    )


def _trap(trap: Trap, proof: Proof, examination: Examination) -> Fault:
    stays = f"stays in {listed(trap.stays_in)}"
    if len(trap.stays_in) > 1:
        stays = f"goes on between {listed(trap.stays_in)}"
    return Fault(
        examination.key_place_of("segments", trap.segment),
        f"A team can get stuck. {told(trap.steps, proof.facts)} From then on no ending can be "
        f"reached: the broadcast {stays}.",
        "Add an exit that can still hold then.",
    )
