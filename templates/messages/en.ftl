# The words of reports, in English. The format is Fluent: https://projectfluent.org
# Copy this file to messages/LANGUAGE.ftl in the folder of templates, and translate what stands behind
# each equals sign. What stands in braces is put in by rimebook. A message that a file leaves out is
# taken from this one.

## Days

date-day-month = { $day } { $month } { $year }
date-month-day = { $month } { $day }, { $year }
month-1 = January
month-2 = February
month-3 = March
month-4 = April
month-5 = May
month-6 = June
month-7 = July
month-8 = August
month-9 = September
month-10 = October
month-11 = November
month-12 = December

## What is not there

not-recorded = not recorded
not-measured = not measured
not-stated = Not stated in this record.
not-stated-short = not stated
not-named = Not named
not-named-short = not named
not-known = not known
not-known-because = not known: { $why }
none-recorded = none recorded
date-not-recorded = date not recorded
unit-not-named = Unit not named

## Names of reports and of the top of each

report-customer = Service report
report-diagnosis = Diagnosis note
report-office = Office sheet
heading-job = Job { $job }
fact-customer = Customer
fact-site = Site
fact-contact = Contact
fact-job = Job
fact-order = Your order
fact-order-number = Order number
fact-model = Model
fact-serial = Serial no.
fact-visits = { $count ->
    [one] Visit
   *[other] Visits
}
fact-technicians = { $count ->
    [one] Technician
   *[other] Technicians
}
count-visits = { $count ->
    [one] { $count } visit
   *[other] { $count } visits
}
in-short = In short
line-number = line { $line }
page-of = Page { $page } of { $pages }
since = since { $when }
given-on = advised on { $when }
value-at = { $value } at { $at }

## Customer: the first screen

ask-wrong = What was wrong
ask-fixed = Is it put right
ask-food = Your food
ask-again = Will it happen again
ask-waiting = If you wait
ask-next = Who comes next
ask-decide = What to decide
you-reported = You reported: { $text }
cause-not-stated = The cause is not stated in this record.
outcome-repaired = Repaired, with readings taken after the repair.
outcome-watch = Repaired; still to be watched.
outcome-unproved = Repaired; not yet proved by readings.
outcome-not-repaired = Examined; no repair is recorded.
because-readings = Readings after the repair are in the table below.
because-not-measured = The effect of the repair was not measured before we left.
because-above-setting = The temperature was still above its setting at the last reading.
because-food-above = Food was still above the limit of your plan when it was last measured.
because-still-off = A reading after the repair was still outside its usual range.
because-test-failed = A test of the pipework did not hold.
because-temporary = Something is still in a temporary state, see below.
because-locked = The unit, or a part of it, is still locked out, see below.
food-last = Last measured at { $value }
food-last-at = Last measured at { $value }, { $at }
food-last-of = { $which }: last measured at { $value }
food-last-of-at = { $which }: last measured at { $value }, { $at }
food-limit = The limit of your plan is { $limit }
food-not-measured = The temperature of food was not measured.
food-not-measured-box = The temperature of food was not measured; the air was last at { $value }.
food-yours-to-decide = Whether food can be kept is for your written plan and the person in charge to decide.
watch-for = To watch: { $text }
nothing-open = No recommendation is open.
nothing-recommended = Nothing is recommended in this record.
all-declined = What was recommended was decided against; see below.
if-nothing-done = If nothing is done: { $text }
if-nothing-done-not-stated = What happens if nothing is done is not stated.
urgency-now = Now
urgency-soon = Soon
urgency-later = Later
urgency-unstated = No date given

food-above-one = not in the one reading
against-within-limit = within the limit
against-above-limit = above the limit
outcome-locked = Left locked out; no repair is recorded.
waiting-of = { $what }: { $text }
if-nothing-done-heading = If it is not done
nothing-to-decide = Nothing is recommended in this record.
more-to-decide = { $count ->
    [one] and one more, see below
   *[other] and { $count } more, see below
}
line-list = lines { $lines }
note-gap = The grey gap lies between visits.
note-open-cycle = Compression is not drawn where the discharge-line temperature was not read.
note-no-before = Before the repair too few readings gave a cycle.

## Customer: the rest

please-note = Please note
left-for-now = Left for the time being, to be put back: { $text }
locked-out-of = Locked out: { $what }
caution-flammable = This unit holds a flammable refrigerant ({ $name }, class { $class }). Keep flames and sparks away from it, keep its air openings free, and have it opened only by people trained and licensed for it as local rules require.
what-we-found = What we found
what-we-did = What we did
done-fitted = fitted { $what }
done-removed = removed { $what }
done-charged = charged { $amount } of { $what }
done-recovered = recovered { $amount } of { $what }
refrigerant = refrigerant
test-held = it held
test-failed = it did not hold
test-not-recorded = its result is not recorded
hold = pressure test of the pipework: { $result }
hold-for = pressure test of the pipework for { $time }: { $result }
vacuum-held = evacuated the system before charging: the vacuum held
vacuum-failed = evacuated the system before charging: the vacuum did not hold
vacuum-not-recorded = evacuated the system before charging: whether the vacuum held is not recorded
what-we-measured = What we measured
column-where = Where
column-before = Before repair
column-after = After repair
column-measured = Measured
column-usual = Usual
usual-not-stated = not stated
against-above = above usual
against-below = below usual
against-within = as usual
band-between = { $low } to { $high }
band-at-most = at most { $high }
band-at-least = at least { $low }
set-point-is = Temperature setting of the unit: { $value }.
usual-basis = Usual: about the unit's setting, the limit of your plan, or the unit's nameplate; common practice where nothing else is stated.
leg = leg { $number }
food-heading = Food and the limit of your plan
what-we-told = What we told you on site
told = told { $what }
agreed-by = agreed { $what }
declined-by = decided against { $what }
taken-up = Advised earlier, worked on since
before-work = before the work of { $when }
worked-on = see what was done on { $when }
what-you-agreed = What you agreed to
what-you-declined = What you decided against
time-and-material = Time and material
column-visit = Visit
column-technician = Technician
column-time-on-site = Time on site
parts-fitted = Parts fitted
materials = Materials
refrigerant-heading = Refrigerant
amount-recovered = { $amount } recovered
amount-charged = { $amount } charged
photos-taken = Photos taken
photos = Photos
job-and-unit = Job and unit
sign-received = Received for the customer: name and signature
sign-approved = Work recommended above: approved / not approved
sign-date = Date
questions-to = Questions about this report
licence-number = Licence { $number }
customer-foot = This report gives what was seen and measured during the visit. It is not a statement that food, a room or a system is safe; local codes and the people responsible on site decide that.

## Food against the limit of a plan

food-column-measured = Measured
food-column-above = Time above { $limit } as measured
food-column-above-short = Above { $limit }
food-column-gaps = Not measured
food-column-highest = Highest
food-nothing-timed = No temperature of food or box with a time was measured.
food-plan = Time control of the plan: { $hours }.
food-counted = Counted: { $basis }.
food-counted-plain = Time is counted only between readings of one visit at most 60 minutes apart; the rest was not measured.
food-who-decides = What is done with food is for the written plan and the person in charge to decide; check the current food code and your local authority.
food-basis = between two readings of a visit at most 60 min apart the temperature is taken to run straight from one to the other; longer spans and those between visits are not measured (60 min: common practice, no source)
food-measured = Food
food-air = Air in the box, not food
food-above-none = none
food-above-unknown = not known (no two readings close enough)
food-above-least = at least { $time }
food-gap = { $from } to { $to }
food-gaps = not measured { $spans }
food-highest = highest { $reading }
food-time-above = time above { $limit } as measured: { $time }
food-straight = { $time } of it by a straight line between a reading above the limit and one not above it
food-before-unknown = before { $at } not known
food-still-above = still above at the last reading, { $at }
food-untimed = { $count ->
    [one] { $count } reading without a time not counted
   *[other] { $count } readings without a time not counted
}
food-plan-between = { $hours } h of time control end at the earliest { $earliest } (from { $below }, the last reading not above { $limit }), at the latest { $latest } (from { $first }, the first reading above { $limit })
food-plan-latest = since when it was above { $limit } is not known; { $hours } h of time control end at the latest { $latest } (from { $first }, the first reading above { $limit })
food-plan-stands = { $span }; at the last reading, { $at }, { $stands }
food-plan-ended = they had ended
food-plan-perhaps = they may have ended
food-plan-not-ended = they had not ended
food-plan-unknown = whether they had ended is not known
food-ceiling-after = 70 F (21 C) passed at { $at } ({ $value }) or earlier, after { $below }
food-ceiling-first = 70 F (21 C) passed at { $at } ({ $value }), the first reading, or earlier

## Charts

chart-temperatures = Temperatures
chart-pipes = Pipe temperatures
chart-suction = Low-side pressure
chart-discharge = High-side pressure
chart-vacuum = Evacuation
chart-balance = Refrigerant moved
chart-cycle = Cycle on the pressure–enthalpy diagram of { $refrigerant }
level-set-point = setting { $value }
level-food-limit = limit of the plan { $value }
level-vacuum = usual limit { $value }
series-vacuum = Vacuum
series-dome = Saturation
event-repair = repair
event-defrost = defrost
event-door-open = door open
event-door-closed = door closed
event-alarm = alarm
event-alarm-silenced = alarm silenced
event-isolated = pump valved off, { $at }
events = In the chart
alternative-series = { $name }: { $first }, { $last }; between { $low } and { $high } in { $count } readings
alternative-vacuum = Vacuum: { $readings }
axis-enthalpy = enthalpy, { $unit }
axis-gauge = { $unit } (gauge)
axis-pressure = { $unit }
cycle-before = Before repair
cycle-after = After repair
cycle-measured = As measured
isotherm-legend = Thin lines join states of one temperature, in { $unit }; the thick line is the edge of the saturation dome.
bar-full = Full charge
bar-recovered = Recovered
bar-added = Added
bar-net = Net into the unit

## Diagnosis note

charts = In pictures
repair-did = Repair: { $text }
column-lines = Lines
column-line = Line
enthalpy-reference = Enthalpy counts from saturated liquid at 0 C as 200 kJ/kg (86.0 Btu/lb); only differences mean anything.
test-hold = Hold, { $text }
test-vacuum = Vacuum, { $text }
line-range = lines { $from }–{ $to }
column-first-before = First before repair
column-last = Last
column-last-after = Last after repair

complaint = Complaint
cause-as-stated = Cause as stated
still-open = Still open
nothing-left-open = Nothing left open in this note.
cautions-for-work = Cautions for the work
codes-first = Local codes and licensed practice come first.
findings = Findings
column-finding = Finding
column-evidence = Evidence
column-rule = Rule
no-rule-fired = No rule fired on what was measured. See below what could not be judged.
causes-heading = Causes, { $when }
causes-as-found = as found
causes-after-repair = after the last repair
causes-standing = The technician's own conclusion stands above this: it ranks what the readings of one moment fit.
column-cause = Cause
column-fit = Fit
column-for = For
column-against = Against
column-not-measured = Not measured
rests-on-alone = rests on { $what }, alone
ruled-out = Ruled out
next-reading = Next reading worth taking
next-takes = { $what }, about { $minutes } min
compared = What was compared
contradictions = What does not fit together
values = What the readings mean
column-value = Value
column-result = Result
column-when = When
column-from = From
how-computed = How each value was computed
assumed = Assumed: { $text }
side-before = before repair
side-during = during repair
side-after = after repair
cycle-heading = Refrigerant cycle
column-state = State
column-pressure = Pressure
column-temperature = Temperature
column-enthalpy = Enthalpy
column-density = Density
column-region = Region
refused = Not given: { $what }, { $why }
not-derived = Could not be computed
tests = Pressure tests and evacuation
readings-heading = Readings
column-point = Point
unit-heading = The unit
unit-contents = Holds
unit-access = Access
unit-refrigerant = Refrigerant
unit-refrigerant-data = Refrigerant data
unit-refrigerant-estimated = estimated: { $text }
unit-safety = Safety class, GWP
unit-gwp = { $class }, { $gwp } (AR4)
unit-gwp-unknown = { $class }, GWP not known
unit-charge = Full charge
unit-metering = Metering
unit-nameplate = Nameplate
unit-set-point = Set point
unit-design-td = Design TD
unit-target-superheat = Target superheat
unit-target-subcooling = Target subcooling
unit-atmosphere = Atmosphere
instruments-used = Instruments used
log-of = Log of { $date }
column-time = Time
column-kind = Kind
column-entry = Entry
recommended = Recommended
not-evaluated = Not evaluated
not-evaluated-means = These could not be judged from what was measured; that is not a sign that all is well.
needs = { $rule }: needs { $what }
lines-not-used = Lines not used
doubts-heading = Doubts about the writing
diagnosis-foot = For technicians only; holds private lines. Saturation data fitted to CoolProp 8.0.0. Values advise; they do not replace the maker's data, local codes or licensed judgement.
stated-none = not stated

## Index of a folder, page of a unit

report-index = Reports
report-unit = Unit
chart-history = Over the years
strip-jobs = Jobs
strip-parts = Parts fitted
strip-added = Refrigerant added
index-count = { $count ->
    [one] { $count } report
   *[other] { $count } reports
}
site-not-named = Site not named
state-repaired = repaired
state-watch = repaired, to be watched
state-unproved = repaired, not yet proved
state-not-repaired = examined
still-open-count = { $count ->
    [one] { $count } thing still open
   *[other] { $count } things still open
}
note-has-errors = note has errors
back-to-index = All reports
reports-of-unit = Reports
to-know = To know
not-in-tables = Not in these tables
history-heading = History of the unit
internal-foot = Internal: it names all customers, and what was noted for the books.

## Office sheet

not-counted = Not counted: ask the technician
hours = Hours
column-arrive = Arrive
column-depart = Depart
column-on-site = On site
column-travel = Travel
column-waiting = Waiting
no-visit = no visit recorded
sum-recorded = Sum of what is recorded
incomplete = incomplete
waiting-within = Waiting lies within the time on site.
by-technician = By technician
sum-of = Sum: { $name }
parts = Parts
column-part = Part
column-count = Count
column-part-number = Part number
column-way = In or out
way-fitted = fitted
way-removed = removed
no-refrigerant = no refrigerant moved
column-movement = Movement
column-amount = Amount
column-kg = kg
column-refrigerant = Refrigerant
column-cylinder = Cylinder
column-balance = Balance
flow-added = added
flow-recovered = recovered
scale = scale: { $text }
by-cylinder = By cylinder
column-taken = Taken from it
column-filled = Put into it
column-holds = Holds after
by-circuit = By circuit
column-circuit = Circuit
column-added = Added
column-recovered = Recovered
column-net = Net
balance = Balance
balance-added = Added to the unit
balance-recovered = Recovered from it
balance-net = Net into the unit
balance-share = { $share } of full charge
balance-charge = Charge after the last movement
balance-loss = Net loss
balance-co2e = CO2e of the net amount, on { $basis }.
share-not-known = share not known: no full charge in the head
share-of-charge = { $percent } % of full charge
charge-weighed-in = { $amount }, { $share }, weighed in since the evacuation
loss-first-charge = none: a first charge
loss-none = none by these movements
loss = { $amount } (added less recovered)
loss-perhaps-first = { $amount } (added less recovered), unless this was a first charge
food-office = Food and the limit of the plan
duties-heading = Duties on refrigerant: { $jurisdiction }
leak-rate = Leak rate (40 CFR 82.152), from this note alone: { $rates }.
column-what = What
column-due = Due
column-done = Done
column-because = Because
recovered-not-noted = line { $line }: how far the recovery was taken down is not noted
recovered-level-unknown = line { $line }: recovered down to { $level }; which level is asked is not known
recovered-reaches = line { $line }: recovered down to { $level }, which reaches { $asked }
recovered-short = line { $line }: recovered down to { $level }, which is short of { $asked }
rate-not-known = not known, the day of the addition before is not in this note
rate-on = { $day }: annualizing { $annualizing }; rolling { $rolling }
no-duty = no duty follows from this note
no-day-set = no day set
not-shown-done = not shown done
tables-as-of = Tables as reviewed on { $day }. { $caution }
other-notes-in = Additions in other notes are in
follow-up = To follow up
no-recommendation = no recommendation recorded
booked-heading = Booked
approved-heading = Approved by the customer
declined-heading = Declined by the customer
photos-to-file = Photos to file
photo-missing = { $file }: no such picture beside the note
office-foot = Internal. Amounts are as written in the job note; the kilograms are exact conversions of them.
