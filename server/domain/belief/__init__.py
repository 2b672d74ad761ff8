"""What is believed of the presenter: how long each part takes next time, and how that moves.

`assumptions` names everything that is taken without having been measured; `practice` makes runs of
what the store gives, by the times that `run_durations` reads off their marks; `history` puts them
in order; `shared_pace` follows the pace that all parts of a run share, `levels` what each part has
of its own; `state` folds one run after another into both; `believe` reads a state as the belief
that everything which foretells goes by; `total` is the time of the whole next run. Of a split `day`
and `mishaps` take what is not the part's own. `scores` has the laws as tables.
"""
