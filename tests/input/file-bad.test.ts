/** Files that cannot be read as text. Every text was read and judged by eye when it was set down. */
import { car, spoil, stage } from '../fixtures/good-files.ts';
import { refuses } from './rendered.ts';

refuses('an empty file', { 'car.yaml': '' }, [
  'car.yaml: error: the file is empty [file/empty]',
  'help: docs/files.md shows a whole example of each file',
]);

refuses(
  'a file that is not there',
  {},
  ['nowhere.yaml: error: there is no file nowhere.yaml [file/missing]', 'help: check the path'],
  ['nowhere.yaml'],
);

refuses('UTF-16', { 'car.yaml': Uint8Array.of(0xff, 0xfe, 0x63, 0) }, [
  'car.yaml: error: the text is UTF-16, expected UTF-8 [file/encoding]',
  'help: save the file again as UTF-8',
]);

refuses('a spreadsheet or another binary file', { 'car.yaml': Uint8Array.of(0x50, 0x4b, 3, 4, 0, 0) }, [
  'car.yaml: error: byte 5 is zero, so this is no text; expected a text file [file/binary]',
  'help: give the text file itself; a spreadsheet must first be saved as CSV',
]);

refuses(
  'an old Windows encoding',
  { 'car.yaml': Uint8Array.of(0x63, 0x61, 0x72, 0x3a, 0x20, 0x43, 0x61, 0x66, 0xe9, 0x0a) },
  [
    'car.yaml:1:9: error: a character is not UTF-8 [file/encoding]',
    '',
    '  1 | car: Caf�',
    '    |         ^',
    'help: save the file again as UTF-8 (it may be in an older Windows encoding)',
  ],
);

refuses('10 MB for a file written by hand', { 'car.yaml': new Uint8Array(10_000_000).fill(0x61) }, [
  'car.yaml: error: car.yaml is larger than 100 kB, the most that is read for this kind of file [file/too-large]',
  'help: is it the right file?',
]);

refuses('a table that is not there', { 'car.yaml': spoil(car, 'torque: engine.csv', 'torque: motor.csv') }, [
  'car.yaml:8:18: error: there is no file motor.csv [file/missing]',
  '',
  '  8 | engine: {torque: motor.csv, limit: 7400 rpm}',
  '    |                  ^^^^^^^^^',
  'help: the path is taken from the folder of car.yaml',
]);

refuses(
  'a path with backslashes',
  { 'stage.yaml': spoil(stage, 'road: road.csv', 'road: roads\\road.csv') },
  [
    'stage.yaml:2:7: error: there is no file roads\\road.csv [file/missing]',
    '',
    '  2 | road: roads\\road.csv',
    '    |       ^^^^^^^^^^^^^^',
    'help: the path is taken from the folder of stage.yaml; write / between folders',
  ],
);

refuses(
  'a byte order mark and CRLF, with a fault in line 2',
  { 'car.yaml': `\ufeff${spoil(car, '1390 kg', '1390').replaceAll('\n', '\r\n')}` },
  [
    'car.yaml:2:7: error: mass is 1390, which has no unit; expected a mass [unit/missing]',
    '',
    '  2 | mass: 1390',
    '    |       ^^^^',
    'help: write `mass: 1390 kg` (units: kg, also t, lb)',
  ],
);

refuses(
  'escape sequences and wide letters in a key',
  { 'car.yaml': spoil(car, 'mass: 1390 kg', 'mass: 1390 kg\n車\u001b[31m: 3') },
  [
    'car.yaml:3:1: error: 車\\x1b[31m is not a key here [key/unknown]',
    '',
    '  3 | 車\\x1b[31m: 3',
    '    | ^^^^^^^^^^',
    'help: the keys are car, mass, pace, mass_factor, rotating, tyre, air, road_load, engine, driveline, brakes',
  ],
);

refuses(
  'a long line is cut round its caret',
  {
    'car.yaml': spoil(
      car,
      'mass_factor: 1.05',
      'note: {a0: 0, a1: 1, a2: 2, a3: 3, a4: 4, a5: 5, a6: 6, a7: 7, a8: 8, a9: 9, a10: 10, a11: 11, a12: 12, a13: 13, a14: 14, a15: 15, a16: 16, a17: 17, a18: 18, a19: 19, a20: 20, a21: 21, a22: 22, a23: 23, a24: 24, a25: 25, a26: 26, a27: 27, a28: 28, a29: 29}',
    ),
  },
  [
    'car.yaml:3:1: error: note is not a key here [key/unknown]',
    '',
    '  3 | note: {a0: 0, a1: 1, a2: 2, a3: 3, a4: 4, a5: 5, a6: 6, a7: 7, a8: 8, a9: 9, a10: 10, a11: 11, a12: …',
    '    | ^^^^',
    'help: the keys are car, mass, pace, mass_factor, rotating, tyre, air, road_load, engine, driveline, brakes',
  ],
);
