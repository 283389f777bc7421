"""The shapes of content files: tractors, implements, jobs and rules, each read into the core's own values.

Quantities stand with their unit (`180 bar`, `1 7/16 in`), yes and no as such, names in lower case with
underscores. The shipped files in `scenarios/` use every key; what is peculiar to jobs and rules is this.

**Steps**, in the order of the answer. `do` is a list of actions as `trainer.core.actions.as_line` prints them::

    steps:
      verify_latches:
        title: Look at both lower latches
        ready: ground            # ground | key_on | running; left out: as the yard is
        also: [supplies_down]    # conditions to be made good again if they were lost
        do:
          - go: hitch
          - look: latches
        done: [latches_seen]     # conditions that show it done
        after:                   # steps that come before it; kind I(njury), D(amage) or F(unction)
          safe_stop: {kind: I, why: nobody goes between the machines until everything stands}

**Ready** is brought about by real actions that depend on the moment (`trainer.authoring.orders`): `ground`
is out of the cab with fan and shaft at rest, brake set, engine stopped and key out; `key_on` is in the seat,
brake set, engine stopped, key on; `running` is in the seat, brake set, engine running. `also` can name
`supplies_down`, `waited`, `area_clear`, `bled`.

**Answer**: a list of step names; left out, all steps in the order of the file. **Slips** are edits of it::

    answer: [area_clear, drawbar_clear, back_align]
    slips:
      drain_on_power_beyond:
        title: Case drain pushed onto power beyond
        change:                                        # one after the other, each on what the last one left
          - instead: "couple: fan_drain to case_drain" # this action; the first one, or the one that nth: 2 says
            do: ["couple: fan_drain to pb_pressure"]
          - leave_out: "wipe: fan_drain"               # wherever it stands
          - before: "engine: start"                    # or after:
            do:
              - look: area
              - step: site_level                       # a step with its ready state and its actions
          - swap_steps: [hyd_connect, bleed_zero]      # the first one is done right before the second one
          - raw: verify_latches                        # without bringing the yard into the step's ready state
          - leave_out_step: check_fit
          - stop_after: "raise: 900 mm"                # nothing of the answer after this action
        earns: [case_pressure, seal_blown]             # rules that must be found; no other critical one may be

An action in an edit may be written with any spacing. An edit that fits nothing is a fault of the file.

**Papers** may hold figures of the machines, so that a paper cannot disagree with them::

    lines: ["Hooks: {tractor.hook_diameter_m as 1/16 in, 0.1 mm}"]   # Hooks: 1 7/16 in (36.5 mm)

What stands before `as` is the path of a value of the compiled case; behind it each unit has the step that
the figure is rounded to. `trainer.authoring.papers` says what else can be reached.

**Rules** (`rules.yaml`) are a map of names::

    case_pressure:
      on: case_pressure                 # kind of event
      things: [fan]                     # only these things and places; left out: any
      goal: couple                      # couple | uncouple; left out: both
      needs: [engine_off]               # conditions that must stand; a missing one is the finding
      unless: [supplies_down]           # conditions that silence the rule
      only: [running]                   # conditions without which the rule does not look
      measure: case_pa                  # the event's reading that is shown; its quantum is in its name
      most: 5 bar                       # or least: 9 V, or within: 20-22 in, or most: from limit_pa
      unit: bar                         # unit shown
      severity: critical                # catastrophic | critical | marginal | negligible
      harm: destruction                 # injury | destruction | damage | function | workmanship
      source: scoring bands of the trade
      standing: practice                # published | book | library | practice | memory | derived
      guards: ["hyd_connect<function_test"]   # orders of two steps it watches over
"""
