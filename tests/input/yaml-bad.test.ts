/** YAML as people miswrite it. Every text was read and judged by eye when it was set down. */
import { car, spoil } from '../fixtures/good-files.ts';
import { refuses } from './rendered.ts';

refuses('an unknown key near a known one', { 'car.yaml': spoil(car, 'shift: 0.12 s', 'shfit: 0.12 s') }, [
  'car.yaml:14:3: error: driveline.shfit is not a key here [key/unknown]',
  '',
  '  14 |   shfit: 0.12 s',
  '     |   ^^^^^',
  'help: did you mean shift?',
]);

refuses('an unknown key far from all', { 'car.yaml': spoil(car, 'shift: 0.12 s', 'turbo_size: 0.12 s') }, [
  'car.yaml:14:3: error: driveline.turbo_size is not a key here [key/unknown]',
  '',
  '  14 |   turbo_size: 0.12 s',
  '     |   ^^^^^^^^^^',
  'help: the keys are driven, driven_load, gears, final_drive, rpm_per_kmh, efficiency, shift',
]);

refuses('a missing key', { 'car.yaml': spoil(car, 'mass: 1390 kg\n', '') }, [
  'car.yaml:1:1: error: mass is missing; expected a mass [key/missing]',
  '',
  '  1 | car: Fell hatch',
  '    | ^^^',
  'help: write `mass: 1390 kg`',
]);

refuses(
  'a missing key of a section',
  { 'car.yaml': spoil(car, '\n  grip: {gravel: 0.62, asphalt: {across: 0.95, along: 1.00}}', '') },
  [
    'car.yaml:4:1: error: tyre.grip is missing; expected a grip for each surface [key/missing]',
    '',
    '  4 | tyre:',
    '    | ^^^^',
    'help: write `grip: {gravel: 0.62, asphalt: 0.95}` below `tyre:`',
  ],
);

refuses('a key without a value', { 'car.yaml': spoil(car, 'mass: 1390 kg', 'mass:') }, [
  'car.yaml:2:1: error: mass has no value; expected a mass [key/missing]',
  '',
  '  2 | mass:',
  '    | ^^^^',
  'help: write `mass: 1390 kg`',
]);

refuses('a key written twice', { 'car.yaml': spoil(car, 'mass: 1390 kg', 'mass: 1390 kg\nmass: 1400 kg') }, [
  'car.yaml:3:1: error: mass is already written above [key/twice]',
  '',
  '  3 | mass: 1400 kg',
  '    | ^^^^',
  'help: keep one of the two',
]);

refuses(
  'a value where a section is due',
  { 'car.yaml': spoil(car, 'brakes: {force: 17 kN}', 'brakes: 17 kN') },
  [
    'car.yaml:15:9: error: brakes is 17 kN; expected a section with force [value/kind]',
    '',
    '  15 | brakes: 17 kN',
    '     |         ^^^^^',
    'help: write `brakes: {force: 17 kN}`',
  ],
);

refuses(
  'several faults in the order of their lines',
  { 'car.yaml': spoil(car, 'mass: 1390 kg\nmass_factor: 1.05', 'mass: 1390\nmass_factor: 0.5\nrotatin: 3') },
  [
    'car.yaml:2:7: error: mass is 1390, which has no unit; expected a mass [unit/missing]',
    '',
    '  2 | mass: 1390',
    '    |       ^^^^',
    'help: write `mass: 1390 kg` (units: kg, also t, lb)',
    '',
    'car.yaml:3:14: error: mass_factor is 0.5, expected 1 to 3 [value/range]',
    '',
    '  3 | mass_factor: 0.5',
    '    |              ^^^',
    'help: write, for example, `mass_factor: 1.05`',
    '',
    'car.yaml:4:1: error: rotatin is not a key here [key/unknown]',
    '',
    '  4 | rotatin: 3',
    '    | ^^^^^^^',
    'help: did you mean rotating?',
  ],
);

refuses('a tab as indentation', { 'car.yaml': spoil(car, '  driven: all', '\tdriven: all') }, [
  'car.yaml:10:1: error: the line begins with a tab [yaml/syntax]',
  '',
  '  10 |     driven: all',
  '     | ^^^^',
  'help: indent with spaces; YAML takes no tabs there',
]);

refuses(
  'a line indented too far',
  { 'car.yaml': spoil(car, '  final_drive: 4.30', '   final_drive: 4.30') },
  [
    'car.yaml:12:1: error: the indentation here does not fit the lines above [yaml/syntax]',
    '',
    '  12 |    final_drive: 4.30',
    '     | ^',
    'help: keys of one section start in the same column; use spaces',
  ],
);

refuses('a line without a colon', { 'car.yaml': spoil(car, 'mass: 1390 kg', 'mass 1390 kg') }, [
  'car.yaml:2:1: error: this line has no `:` after its key [yaml/syntax]',
  '',
  '  2 | mass 1390 kg',
  '    | ^^^^^^^^^^^^',
  'help: write `key: value`, with a space after the colon',
]);

refuses('a colon without a space', { 'car.yaml': spoil(car, 'mass: 1390 kg', 'mass:1390 kg') }, [
  'car.yaml:2:1: error: this line has no `:` after its key [yaml/syntax]',
  '',
  '  2 | mass:1390 kg',
  '    | ^^^^^^^^^^^^',
  'help: write `key: value`, with a space after the colon',
]);

refuses('a bracket left open', { 'car.yaml': spoil(car, '1.08, 0.90]', '1.08, 0.90') }, [
  'car.yaml:12:3: error: the `[` opened above is not closed before this line [yaml/syntax]',
  '',
  '  12 |   final_drive: 4.30',
  '     |   ^',
  'help: close it with ]',
]);

refuses('a quote left open', { 'car.yaml': spoil(car, 'car: Fell hatch', 'car: "Fell hatch') }, [
  'car.yaml:1:6: error: the quote opened here is not closed [yaml/syntax]',
  '',
  '  1 | car: "Fell hatch',
  '    |      ^^^^^^^^^^^',
  'help: close it at the end of the value',
]);

refuses(
  'a value that begins with a reserved character',
  { 'car.yaml': spoil(car, 'car: Fell hatch', 'car: @fell') },
  [
    'car.yaml:1:6: error: a value cannot begin with this character [yaml/syntax]',
    '',
    '  1 | car: @fell',
    '    |      ^',
    "help: put the value in quotes, 'like this'",
  ],
);

refuses('a value with a tag', { 'car.yaml': spoil(car, '1390 kg', '!weight 3') }, [
  'car.yaml:2:7: error: a value cannot begin with `!` [yaml/syntax]',
  '',
  '  2 | mass: !weight 3',
  '    |       ^^^^^^^',
  "help: put the value in quotes, '!like this'",
]);

refuses('two documents in one file', { 'car.yaml': spoil(car, 'mass: 1390 kg', '---\nmass: 1390 kg') }, [
  'car.yaml:2:1: error: a second document begins here (`---`) [yaml/syntax]',
  '',
  '  2 | ---',
  '    | ^^^',
  'help: put each car or stage into its own file',
]);

refuses('an alias of nothing', { 'car.yaml': spoil(car, '1390 kg', '*mass') }, [
  'car.yaml:2:7: error: this alias (`*name`) stands for nothing [yaml/syntax]',
  '',
  '  2 | mass: *mass',
  '    |       ^^^^^',
  'help: put text that begins with * in quotes',
]);

refuses(
  'an alias bomb',
  {
    'car.yaml': `car: bomb\na: &a [x, x, x, x, x, x, x, x, x]\n${[...'bcdefghi'].map((k, i) => `${k}: &${k} [${Array(9).fill(`*${'abcdefghi'[i]}`)}]\n`).join('')}`,
  },
  [
    'car.yaml:3:8: error: aliases (`*name`) make more than 50 copies in this file [yaml/aliases]',
    '',
    '  3 | b: &b [*a,*a,*a,*a,*a,*a,*a,*a,*a]',
    '    |        ^^',
    'help: write the values out in place of `&name` and `*name`',
  ],
);

refuses('brackets nested without end', { 'car.yaml': `car: ${'['.repeat(500)}\n` }, [
  'car.yaml:1:65: error: lists or maps lie more than 60 deep in each other here [yaml/depth]',
  '',
  '  1 | …[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[…',
  '    |                                                    ^',
  'help: is this a car or stage file? docs/files.md shows whole ones',
]);

refuses('a list in place of keys', { 'car.yaml': '- a\n- b\n' }, [
  'car.yaml:1:1: error: the file holds a list, expected keys with values such as `mass: 1390 kg` [yaml/no-keys]',
  '',
  '  1 | - a',
  '    | ^^^',
  'help: docs/files.md shows a whole example of each file',
]);

refuses('a note in place of keys', { 'car.yaml': 'just a note\n' }, [
  'car.yaml:1:1: error: the file holds text, expected keys with values such as `mass: 1390 kg` [yaml/no-keys]',
  '',
  '  1 | just a note',
  '    | ^^^^^^^^^^^',
  'help: docs/files.md shows a whole example of each file',
]);

refuses('only a comment', { 'car.yaml': '# to do\n' }, [
  'car.yaml: error: the file holds no keys [file/empty]',
  'help: docs/files.md shows a whole example of each file',
]);

refuses('neither a car nor a stage', { 'fell.yaml': 'name: Fell\n' }, [
  'fell.yaml: error: the file is neither a car nor a stage [file/kind]',
  'help: begin it with `car: NAME` or with `stage: NAME`',
]);
