"""What is presented in one slot: drinks, segments, processes, their plan and rules.

routine     the whole and its segments; `drink`, `process`, `preparing`, `station`: its other parts
edits       every change: each returns a new routine
plan        segments and processes laid into the slot; `lanes` and `network` say who waits for whom
rules       the rule sheet; `time_calls` as they are typed
served      how a drink stands from pouring to drinking; `waiting` what waits before it goes in
explained   what a figure of a drink is made of
part        a part that is practised by itself
"""
