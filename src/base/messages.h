/* The table of all messages about files: MESSAGE(id, level, text with printf words).
 * Included several times; defines nothing itself.  Each one has a file in tests/bad and
 * an entry in the manual. */
MESSAGE(UNREADABLE, LEVEL_ERROR, "cannot be read: %s; check the name and its permissions")

/* The bytes and the YAML. */
MESSAGE(TOO_BIG, LEVEL_ERROR, "the file has more than %d MB; is it the right file?")
MESSAGE(EMPTY, LEVEL_ERROR, "the file is empty; begin it with 'format: 1'")
MESSAGE(NOT_UTF8, LEVEL_ERROR,
        "this is not UTF-8 text; save the file as UTF-8 without other characters")
MESSAGE(CONTROL, LEVEL_ERROR,
        "a control character (U+%04X), which cannot be seen; delete it")
MESSAGE(ODD_BREAK, LEVEL_ERROR,
        "a line break of another system; save the file with ordinary line ends")
MESSAGE(TAB, LEVEL_ERROR,
        "a tab in the indentation (lines with one: %d); indent with spaces")
MESSAGE(NOT_YAML, LEVEL_ERROR,
        "not valid YAML: %s; check indentation, colons, quotes and brackets near here")
MESSAGE(TOO_DEEP, LEVEL_ERROR,
        "nested more than %d deep; no file of ours needs that, check the brackets")
MESSAGE(TOO_MUCH, LEVEL_ERROR, "the file holds more than one file of ours can; split it")
MESSAGE(ANCHOR, LEVEL_ERROR,
        "anchors ('&name') are not read; write the value out, in quotes if it begins "
        "with '&'")
MESSAGE(ALIAS, LEVEL_ERROR,
        "aliases ('*name') are not read; write the value out, in quotes if it begins "
        "with '*'")
MESSAGE(TAG, LEVEL_ERROR,
        "tags ('!name') are not read; take it out, or put the value in quotes if it "
        "begins with '!'")
MESSAGE(MERGE_KEY, LEVEL_ERROR, "merge keys ('<<') are not read; write the entries out")
MESSAGE(SEVERAL_DOCUMENTS, LEVEL_ERROR,
        "a second document begins here; one file holds one, so delete this '---' or "
        "split the file")
MESSAGE(DUPLICATE_KEY, LEVEL_ERROR,
        "'%s' stands here already, in line %u; keep one of them")
MESSAGE(KEY_KIND, LEVEL_ERROR, "a list or mapping cannot be a name; write one word")
MESSAGE(NUL, LEVEL_ERROR, "a NUL character in the text; take out the '\\0'")

/* What all files share. */
MESSAGE(NOT_A_MAPPING, LEVEL_ERROR,
        "the file should hold 'name: value' lines; begin it with 'format: 1'")
MESSAGE(FORMAT_FIRST, LEVEL_ERROR,
        "the first line should say the format; put 'format: 1' before everything else")
MESSAGE(FORMAT, LEVEL_ERROR,
        "format '%s' is not known to this program; write 'format: 1', or get a newer "
        "foreguy")
MESSAGE(OTHER_FILE, LEVEL_ERROR, "this is a %s file, not a %s file; name another one")

/* Fields and scalars. */
MESSAGE(UNKNOWN_KEY, LEVEL_ERROR, "%s has no '%s'; %s")
MESSAGE(MISSING, LEVEL_ERROR, "%s needs '%s'; add '%s: ...'")
MESSAGE(WRONG_KIND, LEVEL_ERROR, "this should be %s, not %s; write it like %s")
MESSAGE(NAME, LEVEL_ERROR,
        "'%s' is not a name; use lower-case letters, digits and hyphens, a letter first, "
        "at most %d")
MESSAGE(NO_TEXT, LEVEL_ERROR, "the text is empty; write it, or leave the key out")
MESSAGE(TEXT_CONTROL, LEVEL_ERROR,
        "a line break or control character in the text; keep it to one paragraph ('>-' "
        "folds lines)")
MESSAGE(TEXT_LENGTH, LEVEL_ERROR,
        "the text has %zu characters and at most %zu fit; make it shorter")
MESSAGE(YES_NO, LEVEL_ERROR, "'%s' is not yes or no; write %s")
MESSAGE(NOT_WHOLE, LEVEL_ERROR, "'%s' is not a whole number; write %s")
MESSAGE(NOT_A_NUMBER, LEVEL_ERROR,
        "'%s' is not a number with its unit; write it like '%s', with a point for "
        "decimals")
MESSAGE(NO_UNIT, LEVEL_ERROR, "'%s' has no unit; write '%s %s'")
MESSAGE(WRONG_UNIT, LEVEL_ERROR, "the unit of '%s' should be %s; write it like '%s'")
MESSAGE(NOT_PLAIN, LEVEL_ERROR,
        "'%s' is not a plain number; write it without a unit, like '%s'")
MESSAGE(CLOCK_TIME, LEVEL_ERROR,
        "'%s' may be minutes or hours; write it like '1m30s' or '90 s'")
MESSAGE(OUT_OF_RANGE, LEVEL_ERROR, "'%s' is out of range; it may be %s")
MESSAGE(DATE, LEVEL_ERROR, "'%s' is not a date; write it like 2026-11-25")
MESSAGE(NOT_A_CHOICE, LEVEL_ERROR, "'%s' is not one of the words for this; %s")
MESSAGE(TOO_MANY, LEVEL_ERROR, "too many %s; at most %d fit")
MESSAGE(DUPLICATE_NAME, LEVEL_ERROR,
        "'%s' is the name of another one, in line %u; give this one its own")
MESSAGE(PAIR_COUNT, LEVEL_ERROR, "a range has two ends; write it like [least, most]")
MESSAGE(PAIR_ORDER, LEVEL_ERROR, "the least is more than the most; swap them")

/* Names of the rig, of steps and of options. */
MESSAGE(UNKNOWN_NAME, LEVEL_ERROR, "'%s' is %s; %s")
MESSAGE(UNKNOWN_VALUE, LEVEL_ERROR, "'%s' is never '%s'; %s")
MESSAGE(WHICH_SIDE, LEVEL_ERROR, "there are two of '%s'; write '%s' or '%s'")
MESSAGE(NOT_A_LINE, LEVEL_ERROR, "'%s' is not a line anyone tends; %s")
MESSAGE(PLACEHOLDER, LEVEL_ERROR, "'{%s}' is not a part or side to be filled in; %s")
MESSAGE(OPEN_BRACE, LEVEL_ERROR,
        "a '{' without its '}' in the text; write it like {old-guy}")
MESSAGE(NO_VALUES, LEVEL_ERROR, "an empty list of values is never so; name one at least")
MESSAGE(SAME_PART, LEVEL_ERROR,
        "'%s' stands here already under its other name; keep one of them")
MESSAGE(LINE_TWICE, LEVEL_ERROR, "this line stands here twice; keep one of them")

/* Rig files. */
MESSAGE(SIDES_FIXED, LEVEL_ERROR,
        "'%s' cannot have both 'sides' and 'fixed'; keep one of them")
MESSAGE(OUT_MISSING, LEVEL_ERROR,
        "'%s' is on a side but it is not said how far; add 'out: 1.2 m'")
MESSAGE(OUT_AND_STARBOARD, LEVEL_ERROR,
        "a station on a side stands 'out' from the middle; take 'starboard' out")
MESSAGE(OUT_STRAY, LEVEL_ERROR,
        "'out' needs a side; add 'sides' or 'fixed', or write 'starboard: 1.2 m'")
MESSAGE(NO_SIDE, LEVEL_ERROR,
        "these words are the same for both sides; write {side} where the side goes")
MESSAGE(FEW_VALUES, LEVEL_ERROR, "'%s' can never change; give it two values at least")
MESSAGE(TENDED_SIDE, LEVEL_ERROR,
        "'%s' is on both sides and this part is not; name one side, or say 'fixed'")

/* Rules. */
MESSAGE(RULE_FORMS, LEVEL_ERROR,
        "a rule says one thing, this one has both '%s' and '%s'; make it two rules")
MESSAGE(RULE_NO_FORM, LEVEL_ERROR,
        "this rule forbids nothing; add never, always, while and keep, when and need, "
        "before, never-together, tended or finally")
MESSAGE(RULE_PARTNER, LEVEL_ERROR, "'%s' goes with '%s'; add it")
MESSAGE(RULE_STRAY, LEVEL_ERROR, "'%s' does not go with '%s'; take it out")
MESSAGE(RULE_EMPTY, LEVEL_ERROR,
        "nothing can break this, whatever the rig does; check the values")
MESSAGE(NO_PARTS, LEVEL_ERROR, "no part is named here; write it like {part: value}")
MESSAGE(WHEN_MOMENT, LEVEL_ERROR,
        "'when' is one moment; write {start: STEP} or {finish: STEP}")
MESSAGE(TWO_STEPS, LEVEL_ERROR, "this takes two different steps; write it like [a, b]")
MESSAGE(STEP_IN_RIG, LEVEL_ERROR,
        "a rig file knows no steps; put this rule into the procedure")
MESSAGE(HURTS_SIGNAL, LEVEL_ERROR, "what hurts %s takes %s; change one of them")
MESSAGE(RULE_OF_RIG, LEVEL_ERROR,
        "the rig has a rule '%s' already; give this one its own name")

/* Procedures. */
MESSAGE(OTHER_RIG, LEVEL_ERROR,
        "this procedure is for the rig '%s' and the rig given is '%s'; choose one that "
        "fits")
MESSAGE(OPTION_CHOICE, LEVEL_ERROR,
        "'%s' sets no option; write '%s=yes' or the same with no")
MESSAGE(OPTION_UNKNOWN, LEVEL_ERROR, "this procedure has no option '%s'; %s")
MESSAGE(HANDS_ORDER, LEVEL_ERROR,
        "at least %d hands and usually %d cannot be; swap or correct them")
MESSAGE(WIND_ORDER, LEVEL_ERROR,
        "the wind to stop at is less than the wind for caution; swap or correct them")
MESSAGE(NOT_IN_BEGIN, LEVEL_ERROR,
        "'begin' does not say how '%s' stands; add '%s: ...' there")
MESSAGE(NO_STEPS, LEVEL_ERROR, "a procedure with no steps does nothing; write one")
MESSAGE(TAKES_COUNT, LEVEL_ERROR,
        "'takes' has three times: best, usual, slow; write it like [1 s, 2 s, 5 s]")
MESSAGE(TAKES_ORDER, LEVEL_ERROR,
        "best, usual and slow should grow; write the shortest time first")
MESSAGE(ROLE_OR_ROLES, LEVEL_ERROR,
        "a step needs 'role' or 'roles' and not both; write 'role: NAME', or 'roles: [a, "
        "b]' for a joint step")
MESSAGE(ROLE_TWICE, LEVEL_ERROR,
        "'%s' stands here twice and a joint step needs different hands; name another "
        "role")
MESSAGE(JOINT, LEVEL_ERROR,
        "a joint step has two roles at least; else write 'role: NAME'")
MESSAGE(ROUND, LEVEL_ERROR,
        "these steps wait for each other for ever: %s; take one 'after' out")
MESSAGE(MEMORY, LEVEL_ERROR,
        "'%s' is done by heart and comes after '%s', which is not; give that one "
        "'memory: yes' too, or take it from this one")
MESSAGE(WAIT_LEFT_OUT, LEVEL_ERROR,
        "only '%s' gives '%s' this value and an option leaves that step out; give "
        "this step an 'only-if' too, or change the option")
MESSAGE(WAIT_NEVER, LEVEL_WARNING,
        "no step ever gives '%s' this value; correct the wait or add the step")
MESSAGE(WAIT_UNSEEN, LEVEL_WARNING,
        "'%s' can neither see nor hear '%s'; wait for a call or something in sight")

/* Lints: what vet notes of a procedure or rig that is in order as a file. */
MESSAGE(LINT_WAIT_PASSES, LEVEL_NOTE,
        "'%s' may wait for this for ever: '%s' can end it first and nothing brings it "
        "back; put an 'after' between what makes it so and what ends it, or wait for "
        "what stays")
MESSAGE(LINT_STEP_NEVER, LEVEL_NOTE,
        "no order of the steps ever lets '%s' start; correct what it waits for, or what "
        "must come before it")
MESSAGE(LINT_GOAL_UNWRITTEN, LEVEL_NOTE,
        "no step ever makes '%s' so, and it may not begin so; correct the goal, or add "
        "the step")
MESSAGE(LINT_GOAL_NEVER, LEVEL_NOTE,
        "no order of the steps ends at the goal; correct it, or the steps")
MESSAGE(LINT_PART_IDLE, LEVEL_NOTE,
        "nothing in this procedure reads or changes '%s'; take it out")
MESSAGE(LINT_RULE_IDLE, LEVEL_NOTE,
        "the steps never bring about what breaks '%s', not even after one wrong begin; "
        "correct it, or take it out")
MESSAGE(LINT_MOVING_UNRULED, LEVEL_NOTE,
        "no rule speaks of '%s' while it is '%s', from the start of this step to its "
        "finish; name that value in a rule, or set it at the finish")
MESSAGE(LINT_BEGIN_NEVER, LEVEL_NOTE,
        "no step, no mishap and no other begin of this rig makes '%s' so; correct it, or "
        "the mishap this is to recover from")
MESSAGE(LINT_BEGINS_NEVER, LEVEL_NOTE,
        "no moment of another procedure of this rig, with or without a mishap, is like "
        "this begin; correct it, or the mishap this is to recover from")
MESSAGE(LINT_RIG_PART_IDLE, LEVEL_NOTE,
        "no procedure of this rig names '%s'; take it out, or use it")
MESSAGE(LINT_RIG_RULE_IDLE, LEVEL_NOTE,
        "no procedure of this rig could ever break '%s', not even with two parts wrong "
        "at the begin; correct it, or take it out")

/* Crew and boat files. */
MESSAGE(NO_HANDS, LEVEL_ERROR, "a crew without hands; write '- hand: NAME'")
MESSAGE(STATION_SAYS_NOTHING, LEVEL_ERROR,
        "'%s' says nothing; write where it lies: forward, and starboard or out")
MESSAGE(STATION_ACROSS, LEVEL_ERROR, "'%s' lies %s; write '%s'")
MESSAGE(SAIL_AREA, LEVEL_ERROR,
        "the size of this sail is not said; add 'area: 85 m2' or SLU, SLE, SFL and SHW")

MESSAGE(POLAR_HEAD, LEVEL_ERROR,
        "a polar begins with 'deg' and the true winds; write it like 'deg,6 kn,8 kn'")
MESSAGE(POLAR_CELLS, LEVEL_ERROR,
        "%d speeds stand here for %d winds; give one for each, or nothing between two "
        "commas where it is not known ('none' in a boat file)")
MESSAGE(POLAR_ORDER, LEVEL_ERROR,
        "'%s' is not more than the one before it; let winds and angles grow")
MESSAGE(POLAR_EMPTY, LEVEL_ERROR,
        "a polar without speeds; add a line for each angle, like '150,4.5,5.4'")

/* The files at hand. */
MESSAGE(RIG_NOT_FOUND, LEVEL_ERROR,
        "there is no rig file '%s' here; put it beside the procedures in 'rig', or name "
        "another rig")
