/** Events and changes that cannot be. Every text was read and judged by eye when it was set down. */
import { expect, test } from 'vitest';
import { spoil } from '../fixtures/good-files.ts';
import { attempt, eventFiles } from './small-event.ts';

/** Tests that a file of the small event, one part replaced, is refused with exactly these lines, carets included. */
function refuses(name: string, file: string, part: string, by: string, lines: readonly string[]): void {
  test(name, () => {
    const { study, text } = attempt({ [file]: spoil(eventFiles[file], part, by) });
    expect(text.split('\n').slice(0, -1)).toEqual(lines);
    expect(study).toBe(null);
  });
}

refuses(
  'a value that the car does not have',
  'changes.yaml',
  'scale: {engine.torque: 1.04}',
  'scale: {tyre.grip.gravle: 1.04}',
  [
    'changes.yaml:14:13: error: the car has no value tyre.grip.gravle in car.yaml [change/path]',
    '',
    '  14 |     scale: {tyre.grip.gravle: 1.04}',
    '     |             ^^^^^^^^^^^^^^^^',
    'help: did you mean tyre.grip.gravel?',
  ],
);

refuses(
  'a key that no car has',
  'changes.yaml',
  'set: {driveline.final_drive: 3.9}',
  'set: {driveline.final_driv: 3.9}',
  [
    'changes.yaml:8:11: error: driveline.final_driv is not a key here [key/unknown]',
    '',
    '  8 |     set: {driveline.final_driv: 3.9}',
    '    |           ^^^^^^^^^^^^^^^^^^^^',
    'help: did you mean final_drive?',
  ],
);

refuses('a value without its unit', 'changes.yaml', 'add: {mass: -15 kg}', 'set: {mass: 1375}', [
  'changes.yaml:11:17: error: mass is 1375, which has no unit; expected a mass [unit/missing]',
  '',
  '  11 |     set: {mass: 1375}',
  '     |                 ^^^^',
  'help: write `mass: 1375 kg` (units: kg, also t, lb)',
]);

refuses('an amount without its unit', 'changes.yaml', 'add: {mass: -15 kg}', 'add: {mass: -15}', [
  'changes.yaml:11:17: error: -15 cannot be added to mass, which is 1390 kg [change/add]',
  '',
  '  11 |     add: {mass: -15}',
  '     |                 ^^^',
  'help: write an amount in a unit of the same kind; what has several values is scaled, or set',
]);

refuses('an amount in the wrong unit', 'changes.yaml', 'add: {mass: -15 kg}', 'add: {mass: -15 m}', [
  'changes.yaml:11:17: error: -15 m cannot be added to mass, which is 1390 kg [change/add]',
  '',
  '  11 |     add: {mass: -15 m}',
  '     |                 ^^^^^',
  'help: write an amount in a unit of the same kind; what has several values is scaled, or set',
]);

refuses(
  'a value out of bounds',
  'changes.yaml',
  'set: {driveline.final_drive: 3.9}',
  'set: {driveline.final_drive: 390}',
  [
    'changes.yaml:8:34: error: driveline.final_drive is 390, expected more than 0 and at most 50 [value/range]',
    '',
    '  8 |     set: {driveline.final_drive: 390}',
    '    |                                  ^^^',
    'help: write, for example, `final_drive: 4.30`',
  ],
);

refuses(
  'a gear that does not fall',
  'changes.yaml',
  'set: {driveline.final_drive: 3.9}',
  'set: {"driveline.gears[3]": 2.5}',
  [
    'changes.yaml:8:33: error: item 3 of driveline.gears is 2.5 after 2.19; expected it to fall from gear to gear [car/gears]',
    '',
    '  8 |     set: {"driveline.gears[3]": 2.5}',
    '    |                                 ^^^',
    'help: list the gears from first to last: first has the greatest number',
  ],
);

refuses(
  'a gear that is not there',
  'changes.yaml',
  'set: {driveline.final_drive: 3.9}',
  'set: {"driveline.gears[7]": 0.7}',
  [
    'changes.yaml:8:11: error: the car has no value driveline.gears[7] in car.yaml [change/path]',
    '',
    '  8 |     set: {"driveline.gears[7]": 0.7}',
    '    |           ^^^^^^^^^^^^^^^^^^^^',
    'help: driveline.gears has 6 entries, counted from 1',
  ],
);

refuses(
  'a gear counted from 0',
  'changes.yaml',
  'set: {driveline.final_drive: 3.9}',
  'set: {"driveline.gears[0]": 3.5}',
  [
    'changes.yaml:8:11: error: `driveline.gears[0]` is no path to a value [change/path]',
    '',
    '  8 |     set: {"driveline.gears[0]": 3.5}',
    '    |           ^^^^^^^^^^^^^^^^^^^^',
    'help: write keys with points between them, places in a list in brackets, counted from 1: `driveline.gears[2]`',
  ],
);

refuses(
  'a factor with a unit',
  'changes.yaml',
  'scale: {engine.torque: 1.04}',
  'scale: {air.drag_area: 4 %}',
  [
    'changes.yaml:14:28: error: the factor on air.drag_area is 4 %; expected a pure number [change/scale]',
    '',
    '  14 |     scale: {air.drag_area: 4 %}',
    '     |                            ^^^',
    'help: write 1.03 for 3 % more, 0.97 for 3 % less',
  ],
);

refuses(
  'a word that is scaled',
  'changes.yaml',
  'scale: {engine.torque: 1.04}',
  'scale: {driveline.driven: 1.04}',
  [
    'changes.yaml:14:31: error: driveline.driven is all, which cannot be scaled [change/scale]',
    '',
    '  14 |     scale: {driveline.driven: 1.04}',
    '     |                               ^^^^',
    'help: name a number, a quantity, or a section or list of such',
  ],
);

refuses('arithmetic with an unknown name', 'changes.yaml', '= 43 / 9', '= crown / 9', [
  'changes.yaml:4:34: error: driveline.final_drive is `= crown / 9`, where `crown` is no unit, and neither `now` nor `pi` [change/arithmetic]',
  '',
  '  4 |     set: {driveline.final_drive: = crown / 9}',
  '    |                                  ^^^^^^^^^^^',
  'help: write, for example, `= 41 / 9`, `= now * 1.05` or `= now + 2 * 1.5 kg`; `now` is the value before the change',
]);

refuses('arithmetic that reaches outside', 'changes.yaml', '= 43 / 9', '= import("fs")', [
  'changes.yaml:4:34: error: driveline.final_drive is `= import("fs")`, where `fs` is no number [change/arithmetic]',
  '',
  '  4 |     set: {driveline.final_drive: = import("fs")}',
  '    |                                  ^^^^^^^^^^^^^^',
  'help: write, for example, `= 41 / 9`, `= now * 1.05` or `= now + 2 * 1.5 kg`; `now` is the value before the change',
]);

refuses('arithmetic that assigns', 'changes.yaml', '= 43 / 9', '= x = 3', [
  'changes.yaml:4:34: error: driveline.final_drive is `= x = 3`, where there is more than numbers, units, + - * / ^, brackets and functions [change/arithmetic]',
  '',
  '  4 |     set: {driveline.final_drive: = x = 3}',
  '    |                                  ^^^^^^^',
  'help: write, for example, `= 41 / 9`, `= now * 1.05` or `= now + 2 * 1.5 kg`; `now` is the value before the change',
]);

refuses('arithmetic that mixes kinds', 'changes.yaml', 'add: {mass: -15 kg}', 'set: {mass: = now - 15 m}', [
  'changes.yaml:11:17: error: mass is `= now - 15 m`, where values of different kinds are put together [change/arithmetic]',
  '',
  '  11 |     set: {mass: = now - 15 m}',
  '     |                 ^^^^^^^^^^^^',
  'help: write, for example, `= 41 / 9`, `= now * 1.05` or `= now + 2 * 1.5 kg`; `now` is the value before the change',
]);

refuses('arithmetic with an open bracket', 'changes.yaml', '= 43 / 9', '= (43 / 9', [
  'changes.yaml:4:34: error: driveline.final_drive is `= (43 / 9`, where the formula cannot be read: Parenthesis ) expected (char 8) [change/arithmetic]',
  '',
  '  4 |     set: {driveline.final_drive: = (43 / 9}',
  '    |                                  ^^^^^^^^^',
  'help: write, for example, `= 41 / 9`, `= now * 1.05` or `= now + 2 * 1.5 kg`; `now` is the value before the change',
]);

refuses('arithmetic over nothing', 'changes.yaml', '= 43 / 9', '= 43 / 0', [
  'changes.yaml:4:34: error: driveline.final_drive is `= 43 / 0`, where the result is no finite number [change/arithmetic]',
  '',
  '  4 |     set: {driveline.final_drive: = 43 / 0}',
  '    |                                  ^^^^^^^^',
  'help: write, for example, `= 41 / 9`, `= now * 1.05` or `= now + 2 * 1.5 kg`; `now` is the value before the change',
]);

refuses('a change that changes nothing', 'changes.yaml', '    scale: {engine.torque: 1.04}\n', '', [
  'changes.yaml:13:13: error: Map changes nothing [change/nothing]',
  '',
  '  13 |   - change: Map',
  '     |             ^^^',
  'help: write set, add, scale, displacement or car with it, such as `set: {driveline.final_drive: 4.3}`',
]);

refuses('two changes of one name', 'changes.yaml', 'change: Map', 'change: Light seats', [
  'changes.yaml:13:13: error: the name Light seats is taken by the change in line 10 [change/twice]',
  '',
  '  13 |   - change: Light seats',
  '     |             ^^^^^^^^^^^',
  'help: give each change a name of its own',
]);

refuses(
  'two changes that set one value',
  'changes.yaml',
  '    group: final drive\n    set: {driveline.final_drive: 3.9}',
  '    set: {driveline.final_drive: 3.9}',
  [
    'changes.yaml:7:11: error: Short final drive sets driveline.final_drive too, but is not of the same group [change/group]',
    '',
    '  7 |     set: {driveline.final_drive: 3.9}',
    '    |           ^^^^^^^^^^^^^^^^^^^^^',
    'help: give both the same `group:`, since one excludes the other',
  ],
);

refuses('a key that no change has', 'changes.yaml', 'takes: {cost: 700}', 'costs: {cost: 700}', [
  'changes.yaml:12:5: error: item 3 of changes.costs is not a key here [key/unknown]',
  '',
  '  12 |     costs: {cost: 700}',
  '     |     ^^^^^',
  'help: the keys are change, group, car, set, add, scale, displacement, takes',
]);

refuses('an amount taken with a unit', 'changes.yaml', 'takes: {cost: 700}', 'takes: {cost: 700 kg}', [
  'changes.yaml:12:19: error: item 3 of changes.takes.cost is 700 kg; expected an amount, a number without a unit [unit/unwanted]',
  '',
  '  12 |     takes: {cost: 700 kg}',
  '     |                   ^^^^^^',
  'help: write `cost: 700`',
]);

refuses('a car file that is not there', 'changes.yaml', 'add: {mass: -15 kg}', 'car: other.yaml', [
  'changes.yaml:10:13: error: there is no file other.yaml [file/missing]',
  '',
  '  10 |   - change: Light seats',
  '     |             ^^^^^^^^^^^',
  'help: the path is taken from the folder of changes.yaml',
]);

refuses(
  'an engine table that is not there',
  'changes.yaml',
  'scale: {engine.torque: 1.04}',
  'set: {engine.torque: big.csv}',
  [
    'changes.yaml:14:26: error: there is no file big.csv [file/missing]',
    '',
    '  14 |     set: {engine.torque: big.csv}',
    '     |                          ^^^^^^^',
    'help: the path is taken from the folder of car.yaml',
  ],
);

refuses('a range without a step', 'changes.yaml', 'to: 17 kN, step: 4 kN', 'to: 17 kN', [
  'changes.yaml:17:3: error: the range of brakes.force has no `step` [range/steps]',
  '',
  '  17 |   brakes.force: {from: 9 kN, to: 17 kN}',
  '     |   ^^^^^^^^^^^^',
  'help: write all three in one kind of unit, such as `{from: 4.2, to: 5.0, step: 0.1}` or `{from: 9 kN, to: 17 kN, step: 1 kN}`',
]);

refuses('a range in two kinds of units', 'changes.yaml', 'step: 4 kN', 'step: 4 kg', [
  'changes.yaml:17:3: error: the range of brakes.force mixes kinds of units, or numbers with and without one [range/steps]',
  '',
  '  17 |   brakes.force: {from: 9 kN, to: 17 kN, step: 4 kg}',
  '     |   ^^^^^^^^^^^^',
  'help: write all three in one kind of unit, such as `{from: 4.2, to: 5.0, step: 0.1}` or `{from: 9 kN, to: 17 kN, step: 1 kN}`',
]);

refuses('a range that runs backwards', 'changes.yaml', 'to: 17 kN', 'to: 7 kN', [
  'changes.yaml:17:3: error: the range of brakes.force ends below where it begins [range/steps]',
  '',
  '  17 |   brakes.force: {from: 9 kN, to: 7 kN, step: 4 kN}',
  '     |   ^^^^^^^^^^^^',
  'help: write all three in one kind of unit, such as `{from: 4.2, to: 5.0, step: 0.1}` or `{from: 9 kN, to: 17 kN, step: 1 kN}`',
]);

refuses('a range of too many steps', 'changes.yaml', 'step: 4 kN', 'step: 4 mN', [
  'changes.yaml:17:3: error: the range of brakes.force has 2000001 steps, at most 1000 are taken [range/steps]',
  '',
  '  17 |   brakes.force: {from: 9 kN, to: 17 kN, step: 4 mN}',
  '     |   ^^^^^^^^^^^^',
  'help: write all three in one kind of unit, such as `{from: 4.2, to: 5.0, step: 0.1}` or `{from: 9 kN, to: 17 kN, step: 1 kN}`',
]);

refuses(
  'a range of a value that a change sets',
  'changes.yaml',
  'brakes.force: {from: 9 kN, to: 17 kN, step: 4 kN}',
  'driveline.final_drive: {from: 4, to: 5, step: 0.5}',
  [
    'changes.yaml:17:3: error: the range moves driveline.final_drive, which the change Short final drive sets in line 4 [range/twice]',
    '',
    '  17 |   driveline.final_drive: {from: 4, to: 5, step: 0.5}',
    '     |   ^^^^^^^^^^^^^^^^^^^^^',
    'help: keep one of the two; a change of a value with a price of its own belongs below `changes:`',
    '',
    'changes.yaml:17:3: error: the range moves driveline.final_drive, which the change Long final drive sets in line 8 [range/twice]',
    '',
    '  17 |   driveline.final_drive: {from: 4, to: 5, step: 0.5}',
    '     |   ^^^^^^^^^^^^^^^^^^^^^',
    'help: keep one of the two; a change of a value with a price of its own belongs below `changes:`',
  ],
);

refuses(
  'half a tooth',
  'changes.yaml',
  'brakes.force: {from: 9 kN, to: 17 kN, step: 4 kN}',
  'driveline.final_drive: {teeth: {driving: [8.5], driven: [41]}}',
  [
    'changes.yaml:17:45: error: item 1 of ranges.driveline.final_drive.teeth.driving is 8.5, expected a number of teeth, a whole number from 1 to 500 [value/range]',
    '',
    '  17 |   driveline.final_drive: {teeth: {driving: [8.5], driven: [41]}}',
    '     |                                             ^^^',
    'help: write, for example, `9`',
  ],
);

refuses('a range of a key that no car has', 'changes.yaml', 'brakes.force:', 'brakes.forse:', [
  'changes.yaml:17:3: error: brakes.forse is not a key here [key/unknown]',
  '',
  '  17 |   brakes.forse: {from: 9 kN, to: 17 kN, step: 4 kN}',
  '     |   ^^^^^^^^^^^^',
  'help: did you mean force?',
]);

refuses(
  'no stages',
  'event.yaml',
  eventFiles['event.yaml'].slice(
    eventFiles['event.yaml'].indexOf('loops:'),
    eventFiles['event.yaml'].indexOf('conditions'),
  ),
  '',
  [
    'event.yaml:1:1: error: stages is missing; expected the stages in running order [key/missing]',
    '',
    '  1 | event: Kestrel day',
    '    | ^^^^^',
    'help: write `stages: [aldervane-wood.yaml, tarven-moor.yaml]`, or `loops:` where there are services between',
  ],
);

refuses(
  'stages and loops',
  'event.yaml',
  'conditions: {dry: 3, wet: 1}',
  'conditions: {dry: 3, wet: 1}\nstages: [lane.yaml]',
  [
    'event.yaml:10:1: error: stages and loops are both given [event/both]',
    '',
    '  10 | stages: [lane.yaml]',
    '     | ^^^^^^',
    'help: give `stages:` where one set-up serves all of them, else `loops:`',
  ],
);

refuses('two loops of one name', 'event.yaml', 'loop: Late', 'loop: Early', [
  'event.yaml:7:11: error: there is a loop Early before this one [event/twice]',
  '',
  '  7 |   - loop: Early',
  '    |           ^^^^^',
  'help: give each loop a name of its own',
]);

refuses('a stage that is not there', 'event.yaml', 'stages: [lane.yaml]', 'stages: [lanes.yaml]', [
  'event.yaml:8:14: error: there is no file lanes.yaml [file/missing]',
  '',
  '  8 |     stages: [lanes.yaml]',
  '    |              ^^^^^^^^^^',
  'help: the path is taken from the folder of event.yaml',
]);

refuses('a load without a unit', 'event.yaml', 'load: 20 kg', 'load: 20', [
  'event.yaml:6:40: error: item 1 of item 1 of loops.stages.load is 20, which has no unit; expected a mass [unit/missing]',
  '',
  '  6 |     stages: [{stage: stage.yaml, load: 20}, lane.yaml]',
  '    |                                        ^^',
  'help: write `load: 20 kg` (units: kg, also t, lb)',
]);

refuses('a condition misspelt', 'event.yaml', 'wet: 1', 'wett: 1', [
  'event.yaml:9:14: error: no stage of the event has a condition dry [event/condition]',
  '',
  '  9 | conditions: {dry: 3, wett: 1}',
  '    |              ^^^',
  'help: the stages state wet; write what it does to the surfaces below `conditions:` in the stage files; one name that none of them has stands for the stages as written',
  '',
  'event.yaml:9:22: error: no stage of the event has a condition wett [event/condition]',
  '',
  '  9 | conditions: {dry: 3, wett: 1}',
  '    |                      ^^^^',
  'help: did you mean wet?',
]);

refuses('weights of nothing', 'event.yaml', '{dry: 3, wet: 1}', '{dry: 0, wet: 0}', [
  'event.yaml:9:1: error: the weights of the conditions add up to 0 [event/weights]',
  '',
  '  9 | conditions: {dry: 0, wet: 0}',
  '    | ^^^^^^^^^^',
  'help: write how likely each is, such as `conditions: {dry: 0.6, wet: 0.4}`',
]);

refuses(
  'a limit on what no change takes',
  'event.yaml',
  'cost: {most: 1200, step: 300}',
  'cosst: {most: 1200}',
  [
    'event.yaml:12:3: error: no change takes any cosst in changes.yaml [event/limit]',
    '',
    '  12 |   cosst: {most: 1200}',
    '     |   ^^^^^',
    'help: did you mean cost?',
  ],
);

refuses('a limit without a bound', 'event.yaml', 'cost: {most: 1200, step: 300}', 'cost: {step: 300}', [
  'event.yaml:12:3: error: limits.cost bounds nothing [event/limit]',
  '',
  '  12 |   cost: {step: 300}',
  '     |   ^^^^',
  'help: write `least` or `most` with it, such as `{most: 3000}`',
]);

refuses('a limit on mass as a bare number', 'event.yaml', 'least: 1370 kg', 'least: 1370', [
  'event.yaml:11:17: error: limits.mass.least is 1370, which has no unit; expected a mass [unit/missing]',
  '',
  '  11 |   mass: {least: 1370, step: 10 kg}',
  '     |                 ^^^^',
  'help: write `least: 1370 kg` (units: kg, also t, lb)',
]);

refuses(
  'a limit upside down',
  'event.yaml',
  'cost: {most: 1200, step: 300}',
  'cost: {least: 1300, most: 1200}',
  [
    'event.yaml:12:3: error: limits.cost has a least above its most [event/limit]',
    '',
    '  12 |   cost: {least: 1300, most: 1200}',
    '     |   ^^^^',
    'help: exchange the two',
  ],
);

refuses('an uncertain value that the car does not have', 'event.yaml', 'pace: {range', 'air.lift: {range', [
  'event.yaml:16:3: error: the car has no value air.lift in car.yaml [change/path]',
  '',
  '  16 |   air.lift: {range: [0.92, 0.98]}',
  '     |   ^^^^^^^^',
  'help: write it into car.yaml first',
]);

refuses('an uncertainty without a unit', 'event.yaml', 'sd: 10 kg', 'sd: 10', [
  'event.yaml:15:9: error: mass has an sd of 10, expected a share in %, or an amount in kg or the like [event/uncertain]',
  '',
  '  15 |   mass: {sd: 10}',
  '     |         ^^^^^^^^',
  'help: write `{sd: 4 %}` or `{sd: 8 kg}` (a standard deviation), `{range: 3 %}` (so much more or less), or `{range: [0.90, 0.96]}`',
]);

refuses('an uncertainty of nothing', 'event.yaml', 'sd: 10 kg', 'sd: 0 kg', [
  'event.yaml:15:9: error: mass has an sd of 0 kg, expected more than 0 [event/uncertain]',
  '',
  '  15 |   mass: {sd: 0 kg}',
  '     |         ^^^^^^^^^^',
  'help: write `{sd: 4 %}` or `{sd: 8 kg}` (a standard deviation), `{range: 3 %}` (so much more or less), or `{range: [0.90, 0.96]}`',
]);

refuses('a range of one end', 'event.yaml', '[0.92, 0.98]', '[0.92]', [
  'event.yaml:16:9: error: pace has a range that is not two of a number without a unit [event/uncertain]',
  '',
  '  16 |   pace: {range: [0.92]}',
  '     |         ^^^^^^^^^^^^^^^',
  'help: write `{sd: 4 %}` or `{sd: 8 kg}` (a standard deviation), `{range: 3 %}` (so much more or less), or `{range: [0.90, 0.96]}`',
]);

refuses('both a deviation and a range', 'event.yaml', 'sd: 10 kg', 'sd: 10 kg, range: 3 %', [
  'event.yaml:15:9: error: mass needs one of sd and range [event/uncertain]',
  '',
  '  15 |   mass: {sd: 10 kg, range: 3 %}',
  '     |         ^^^^^^^^^^^^^^^^^^^^^^^',
  'help: write `{sd: 4 %}` or `{sd: 8 kg}` (a standard deviation), `{range: 3 %}` (so much more or less), or `{range: [0.90, 0.96]}`',
]);

refuses(
  'an uncertain value that no stage has',
  'event.yaml',
  'pace: {range: [0.92, 0.98]}',
  'stage.air.temprature: {sd: 3 degC}',
  [
    'event.yaml:16:3: error: no stage of the event has a value air.temprature [change/path]',
    '',
    '  16 |   stage.air.temprature: {sd: 3 degC}',
    '     |   ^^^^^^^^^^^^^^^^^^^^',
    'help: did you mean stage.air.temperature?',
  ],
);

refuses(
  'an uncertain value of the stages between two ends',
  'event.yaml',
  'pace: {range: [0.92, 0.98]}',
  'stage.air.temperature: {range: [3 degC, 9 degC]}',
  [
    'event.yaml:16:26: error: stage.air.temperature has a range from one value to another, but each stage has its own value [event/uncertain]',
    '',
    '  16 |   stage.air.temperature: {range: [3 degC, 9 degC]}',
    '     |                          ^^^^^^^^^^^^^^^^^^^^^^^^^',
    'help: write `{sd: 4 %}` or `{sd: 8 kg}` (a standard deviation), or `{range: 3 %}` (so much more or less)',
  ],
);

refuses('an unknown key', 'event.yaml', 'uncertain:', 'unsure:', [
  'event.yaml:13:1: error: unsure is not a key here [key/unknown]',
  '',
  '  13 | unsure:',
  '     | ^^^^^^',
  'help: the keys are event, car, changes, loops, stages, conditions, limits, uncertain',
]);

refuses(
  'a tyre without grip for a stage',
  'changes.yaml',
  'scale: {engine.torque: 1.04}',
  'set: {tyre.grip: {gravel: 0.6}}',
  [
    'road.csv:5:14: error: with the change Map: the tyre of car.yaml has no grip for the surface asphalt [pair/no-grip]',
    '',
    '  5 | 260,0.02,5,2,asphalt',
    '    |              ^^^^^^^',
    'help: add its grip to tyre.grip in car.yaml, such as `asphalt: 0.85` (tables have 0.7 to 1; measure yours); it has gravel',
    '',
    'lane.csv:2:7: error: with the change Map: the tyre of car.yaml has no grip for the surface asphalt [pair/no-grip]',
    '',
    '  2 | 0,0,0,asphalt',
    '    |       ^^^^^^^',
    'help: add its grip to tyre.grip in car.yaml, such as `asphalt: 0.85` (tables have 0.7 to 1; measure yours); it has gravel',
  ],
);

refuses(
  'a displacement without units',
  'changes.yaml',
  'scale: {engine.torque: 1.04}',
  'displacement: {from: 1600, to: 1700}',
  [
    'changes.yaml:14:26: error: item 4 of changes.displacement.from is 1600, which has no unit; expected a volume [unit/missing]',
    '',
    '  14 |     displacement: {from: 1600, to: 1700}',
    '     |                          ^^^^',
    'help: write `from: 1600 cm^3` (units: cm^3, also l)',
    '',
    'changes.yaml:14:36: error: item 4 of changes.displacement.to is 1700, which has no unit; expected a volume [unit/missing]',
    '',
    '  14 |     displacement: {from: 1600, to: 1700}',
    '     |                                    ^^^^',
    'help: write `to: 1700 cm^3` (units: cm^3, also l)',
  ],
);

refuses(
  'a file of changes that is not there',
  'event.yaml',
  'changes: changes.yaml',
  'changes: change.yaml',
  [
    'event.yaml:3:10: error: there is no file change.yaml [file/missing]',
    '',
    '  3 | changes: change.yaml',
    '    |          ^^^^^^^^^^^',
    'help: the path is taken from the folder of event.yaml',
  ],
);

test('another file in place of an event', () => {
  for (const [file, kind] of [
    ['car.yaml', 'a car'],
    ['stage.yaml', 'a stage'],
    ['changes.yaml', 'a file of changes'],
  ]) {
    const { text } = attempt({ 'event.yaml': eventFiles[file] });
    expect(text).toBe(
      `event.yaml: error: the file is ${kind}, expected an event [event/kind]\nhelp: give the event file, which begins with \`event: NAME\` and names the car and the stages: docs/study.md\n`,
    );
  }
});
