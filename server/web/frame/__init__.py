"""What all pages share: rendering, forms, errors, limits, the offline shell.

shown       what a page shows, a frozen dataclass that names its folder of `templates/`
render      draws it: `page` takes nothing else, `part` answers a fragment
editing     forms that change something; `guard` keeps them from overwriting unseen
telling     what can fail to be told, so that no page and no stage is lost to a figure
access      every address and what it asks, of a device and of a person
layers      what every request passes before it is answered, down to the route it is for
uploads     files that people send, and how they are handed out again
bundles     the sheets and scripts of all pages, handed over together

Of the templates `_frame.html` has the six places and the act, `_routine_head.html` the slot as a
strip, `_title.html` the first line of a page (its h1 is what the page answers) and the parts of a
place, `_panel.html` what opens beside a list. Links and forms are written with `_ask.html`:
ordinary ones that with htmx ask for the same address and swap the body. A key of its own opens each
place (`data-key`). In templates `may(ask)` and `offers(method, url)` tell what is shown; `ask.post`
and `ask.button` do it by themselves.
"""
