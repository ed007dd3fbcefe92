"""The commands for cloth on hand and cloth to buy: what they print, and what is written only on request."""

from argparse import Namespace
from collections.abc import Sequence

from kit.errors import KitError
from kit.output.words.buying_words import say_buying
from kit.output.words.stash_words import say_assumptions, say_cloths, say_fit, say_offer, say_stash
from kit.pipeline import make_pattern, make_sketch
from kit.progress import Progress
from kit.stash import compare_buying, fill_from_stash, match_stash, offer_stash, put_back
from kit.study import editions, open_stash, open_study, save_stash, save_study


def tell_buying(paths: Sequence[str]) -> int:
    """Print for each size of each study the ways to buy the cloth of each slot, a line each."""
    for path in paths:
        for study in editions(open_study(path)):
            print(f"{study.title}, {study.edition}")
            for slot in compare_buying(make_sketch(study)):
                print(f"      {say_buying(slot, study.measures.system)}")
    return 0


def use_stash(asked: Namespace, progress: Progress) -> int:
    """Print which sizes of the studies a stash makes, or what it offers; write it back only on request."""
    stash, studies = open_stash(asked.stash), [open_study(path) for path in asked.study]
    one = asked.save or asked.offer or asked.take_off
    if one and (len(studies) > 1 or len(editions(studies[0])) > 1):
        raise KitError(
            "several studies or editions were named", needed="one size of one study", do="save that size as a study"
        )
    if not one:
        for fit in match_stash(stash, studies, progress=progress):
            print(say_fit(fit, stash.system))
            for line in say_cloths(fit) if asked.cloths else ():
                print(f"      {line}")
        print(*say_assumptions(stash), sep="\n")
        return 0
    study = studies[0]
    facts = {"title": study.title, "edition": study.edition}
    if asked.save:
        print(say_stash("saved", file=save_study(fill_from_stash(stash, study), asked.save), **facts))
        return 0
    pattern = make_pattern(study)
    left = put_back(pattern, stash)
    if asked.offer:
        print(*say_offer(offer_stash(pattern, left), pattern), sep="\n")
    if asked.take_off:
        print(say_stash("taken_off", file=save_stash(left, asked.stash), count=len(left.cloths), **facts))
    return 0
