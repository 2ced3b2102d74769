/** Stages that cannot be. Every text was read and judged by eye when it was set down. */
import { car, spoil, stage, stations } from '../fixtures/good-files.ts';
import { refuses, warns } from '../input/rendered.ts';

refuses('a split beyond the finish', { 'stage.yaml': spoil(stage, '300 m', '3 km') }, [
  'stage.yaml:4:18: error: the split at 3 km is not before the finish: the road is 0.45 km long [stage/splits]',
  '',
  '  4 | splits: [0.2 km, 3 km]',
  '    |                  ^^^^',
  'help: splits count from the start line; the finish is no split',
]);

refuses('splits that do not rise', { 'stage.yaml': spoil(stage, '[0.2 km, 300 m]', '[300 m, 0.2 km]') }, [
  'stage.yaml:4:17: error: item 2 of splits is not farther than the split before it [stage/splits]',
  '',
  '  4 | splits: [300 m, 0.2 km]',
  '    |                 ^^^^^^',
  'help: list the splits in the order of travel, each once',
]);

refuses('a split without a list', { 'stage.yaml': spoil(stage, '[0.2 km, 300 m]', '0.2 km') }, [
  'stage.yaml:4:9: error: splits is 0.2 km; expected a list of distances from the start [value/kind]',
  '',
  '  4 | splits: 0.2 km',
  '    |         ^^^^^^',
  'help: write `splits: [3.2 km, 7.4 km]`',
]);

refuses(
  'a rolling start without a unit',
  { 'stage.yaml': spoil(stage, 'start: standing', 'start: {rolling: 60}') },
  [
    'stage.yaml:3:18: error: start.rolling is 60, which has no unit; expected a speed [unit/missing]',
    '',
    '  3 | start: {rolling: 60}',
    '    |                  ^^',
    'help: write `rolling: 60 km/h` (units: km/h, also m/s, mph)',
  ],
);

refuses('a start that does not exist', { 'stage.yaml': spoil(stage, 'start: standing', 'start: flying') }, [
  'stage.yaml:3:8: error: start is flying, expected standing or a rolling speed [stage/start]',
  '',
  '  3 | start: flying',
  '    |        ^^^^^^',
  'help: write `start: standing` or `start: {rolling: 60 km/h}`',
]);

refuses('air given in both ways', { 'stage.yaml': spoil(stage, 'altitude: 310 m', 'density: 1.2 kg/m^3') }, [
  'stage.yaml:5:28: error: air gives both density and temperature [stage/air]',
  '',
  '  5 | air: {density: 1.2 kg/m^3, temperature: 9 degC}',
  '    |                            ^^^^^^^^^^^',
  'help: give the density, or altitude and temperature',
]);

refuses(
  'a closed road that is no points table',
  { 'stage.yaml': spoil(stage, 'start: standing', 'closed: true') },
  [
    'stage.yaml:3:9: error: `closed: true` needs a points table; road.csv is a stations table [road/closed]',
    '',
    '  3 | closed: true',
    '    |         ^^^^',
    'help: leave `closed` out: the stage then runs from the first row to the last',
  ],
);

refuses('yes for true', { 'stage.yaml': spoil(stage, 'start: standing', 'closed: yes') }, [
  'stage.yaml:3:9: error: closed is yes, expected true or false [value/kind]',
  '',
  '  3 | closed: yes',
  '    |         ^^^',
  'help: write `closed: true` or `closed: false`',
]);

refuses(
  'a column renamed that is not there',
  { 'stage.yaml': spoil(stage, 'start: standing', 'columns: {camber: ignore}') },
  [
    'stage.yaml:3:11: error: road.csv has no column camber [table/column]',
    '',
    '  3 | columns: {camber: ignore}',
    '    |           ^^^^^^',
    'help: its columns are station_m, curvature_1pm, grade_pct, crossfall_deg, surface',
  ],
);

refuses(
  'a column renamed to nothing of ours',
  { 'stage.yaml': spoil(stage, 'start: standing', 'columns: {note: forget}') },
  [
    'stage.yaml:3:17: error: columns.note is forget, expected a column of ours, or ignore [value/choice]',
    '',
    '  3 | columns: {note: forget}',
    '    |                 ^^^^^^',
    'help: write, for example, `note: ignore`',
  ],
);

refuses(
  'a roughness class that does not exist',
  { 'stage.yaml': spoil(stage, 'roughness: D', 'roughness: K') },
  [
    'stage.yaml:7:62: error: surfaces.gravel.roughness is K, expected one of A, B, C, D, E, F, G, H [value/choice]',
    '',
    '  7 |   gravel: {grip: 0.95, rolling_resistance: 0.028, roughness: K}',
    '    |                                                              ^',
    'help: write, for example, `roughness: A`',
  ],
);

refuses('a road that is not there', { 'stage.yaml': spoil(stage, 'road: road.csv', 'road: rode.csv') }, [
  'stage.yaml:2:7: error: there is no file rode.csv [file/missing]',
  '',
  '  2 | road: rode.csv',
  '    |       ^^^^^^^^',
  'help: the path is taken from the folder of stage.yaml',
]);

warns(
  'a surface that the road does not have',
  { 'stage.yaml': spoil(stage, 'gravel: {', 'mud: {grip: 0.5}\n  gravel: {') },
  [
    'stage.yaml:7:3: warning: the road has no surface mud [stage/surface-unused]',
    '',
    '  7 |   mud: {grip: 0.5}',
    '    |   ^^^',
    'help: its surfaces are gravel, asphalt',
  ],
);

refuses(
  'a surface that the tyre has no grip for',
  { 'car.yaml': spoil(car, 'asphalt:', 'tarmac:') },
  [
    'road.csv:5:14: error: the tyre of car.yaml has no grip for the surface asphalt [pair/no-grip]',
    '',
    '  5 | 260,0.02,5,2,asphalt',
    '    |              ^^^^^^^',
    'help: add its grip to tyre.grip in car.yaml, such as `asphalt: 0.85` (tables have 0.7 to 1; measure yours); it has gravel, tarmac',
  ],
  ['car.yaml', 'stage.yaml'],
);

refuses(
  'a surface misspelt in the road',
  { 'road.csv': stations.replaceAll('asphalt', 'asfalt') },
  [
    'road.csv:5:14: error: the tyre of car.yaml has no grip for the surface asfalt [pair/no-grip]',
    '',
    '  5 | 260,0.02,5,2,asfalt',
    '    |              ^^^^^^',
    'help: write asphalt here if that is meant, or add its grip to tyre.grip in car.yaml, such as `asfalt: 0.7`',
  ],
  ['car.yaml', 'stage.yaml'],
);

const withRanges = (text: string) => ({ 'stage.yaml': `stage: Test\nroad: road.csv\nranges:\n${text}` });

refuses(
  'ranges that overlap',
  withRanges('  - {from: 0.1 km, to: 200 m, surface: mud}\n  - {from: 150 m, to: 0.3 km, grip: 0.8}\n'),
  [
    'stage.yaml:4:5: error: item 1 of ranges, 0.1 km to 0.2 km, overlaps item 2, 0.15 km to 0.3 km [stage/range-overlap]',
    '',
    '  4 |   - {from: 0.1 km, to: 200 m, surface: mud}',
    '    |     ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^',
    'help: let one end where the other begins',
    '',
    'stage.yaml:5:5: error: item 2 of ranges, 0.15 km to 0.3 km, overlaps item 1, 0.1 km to 0.2 km [stage/range-overlap]',
    '',
    '  5 |   - {from: 150 m, to: 0.3 km, grip: 0.8}',
    '    |     ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^',
    'help: let one end where the other begins',
  ],
);

refuses(
  'ranges that end before they begin, or off the road, or say nothing',
  withRanges(
    '  - {from: 300 m, to: 200 m, surface: mud}\n  - {from: 10 m, to: 20 m}\n  - {from: 10 m, too: 20 m, grip: 40 %, roughness: K}\n',
  ),
  [
    'stage.yaml:4:23: error: the range ends at 0.2 km, which is not beyond its start at 0.3 km [stage/ranges]',
    '',
    '  4 |   - {from: 300 m, to: 200 m, surface: mud}',
    '    |                       ^^^^^',
    'help: distances count from the start line in the direction of travel',
    '',
    'stage.yaml:5:5: error: the range says nothing of the road: expected surface, grip or roughness beside from and to [stage/ranges]',
    '',
    '  5 |   - {from: 10 m, to: 20 m}',
    '    |     ^^^^^^^^^^^^^^^^^^^^^^',
    'help: write, for example, `{from: 1.2 km, to: 1.8 km, surface: mud, grip: 0.9}`',
    '',
    'stage.yaml:6:18: error: item 3 of ranges.too is not a key here [key/unknown]',
    '',
    '  6 |   - {from: 10 m, too: 20 m, grip: 40 %, roughness: K}',
    '    |                  ^^^',
    'help: did you mean to?',
    '',
    'stage.yaml:6:35: error: item 3 of ranges.grip is 40 %; expected a factor on the grip of the tyre, a number without a unit [unit/unwanted]',
    '',
    '  6 |   - {from: 10 m, too: 20 m, grip: 40 %, roughness: K}',
    '    |                                   ^^^^',
    'help: write `grip: 0.4`',
    '',
    'stage.yaml:6:52: error: item 3 of ranges.roughness is K, expected one of A, B, C, D, E, F, G, H [value/choice]',
    '',
    '  6 |   - {from: 10 m, too: 20 m, grip: 40 %, roughness: K}',
    '    |                                                    ^',
    'help: write, for example, `roughness: A`',
  ],
);

refuses(
  'ranges beyond the finish',
  withRanges('  - {from: 300 m, to: 500 m, surface: mud}\n  - {from: 2 km, surface: ice}\n'),
  [
    'stage.yaml:4:23: error: the range ends at 0.5 km, beyond the finish: the road is 0.45 km long [stage/ranges]',
    '',
    '  4 |   - {from: 300 m, to: 500 m, surface: mud}',
    '    |                       ^^^^^',
    'help: leave `to` out for a range up to the finish',
    '',
    'stage.yaml:5:12: error: the range begins at 2 km, beyond the finish: the road is 0.45 km long [stage/ranges]',
    '',
    '  5 |   - {from: 2 km, surface: ice}',
    '    |            ^^^^',
    'help: distances count from the start line; is the unit right?',
  ],
);

refuses(
  'ranges that leave the surface open',
  {
    ...withRanges(
      '  - {from: 100 m, to: 200 m, surface: mud}\n  - {from: 200 m, to: 300 m, grip: 0.8}\n  - {from: 300 m, to: 400 m, surface: mud}\n',
    ),
    'road.csv': 'station_m,curvature_1pm\n0,0\n450,0\n',
  },
  [
    'stage.yaml:3:1: error: no range names the surface from 0.4 km to 0.45 km, and the road table has no column surface [stage/range-gap]',
    '',
    '  3 | ranges:',
    '    | ^^^^^^',
    'help: add `{from: 0.4 km, to: 0.45 km, surface: gravel}` to ranges, or a column surface to the road table',
    '',
    'stage.yaml:4:5: error: no range names the surface from 0 km to 0.1 km, and the road table has no column surface [stage/range-gap]',
    '',
    '  4 |   - {from: 100 m, to: 200 m, surface: mud}',
    '    |     ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^',
    'help: add `{from: 0 km, to: 0.1 km, surface: gravel}` to ranges, or a column surface to the road table',
    '',
    'stage.yaml:6:5: error: no range names the surface from 0.2 km to 0.3 km, and the road table has no column surface [stage/range-gap]',
    '',
    '  6 |   - {from: 300 m, to: 400 m, surface: mud}',
    '    |     ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^',
    'help: add `{from: 0.2 km, to: 0.3 km, surface: gravel}` to ranges, or a column surface to the road table',
  ],
);

refuses(
  'a range of a surface that the tyre does not know',
  withRanges('  - {from: 100 m, to: 200 m, surface: gravle, grip: 0.9}\n'),
  [
    'stage.yaml:4:39: error: the tyre of car.yaml has no grip for the surface gravle [pair/no-grip]',
    '',
    '  4 |   - {from: 100 m, to: 200 m, surface: gravle, grip: 0.9}',
    '    |                                       ^^^^^^',
    'help: write gravel here if that is meant, or add its grip to tyre.grip in car.yaml, such as `gravle: 0.7`',
  ],
  ['stage.yaml', 'car.yaml'],
);

refuses(
  'conditions that say nothing',
  { 'stage.yaml': `${stage}conditions: {wet: {gravel: {grip: wet, rolling: 0.03}}, damp: 0.9}\n` },
  [
    'stage.yaml:8:35: error: conditions.wet.gravel.grip is wet; expected a factor on the grip of the tyre [value/kind]',
    '',
    '  8 | conditions: {wet: {gravel: {grip: wet, rolling: 0.03}}, damp: 0.9}',
    '    |                                   ^^^',
    'help: write, for example, `grip: 0.95`',
    '',
    'stage.yaml:8:40: error: conditions.wet.gravel.rolling is not a key here [key/unknown]',
    '',
    '  8 | conditions: {wet: {gravel: {grip: wet, rolling: 0.03}}, damp: 0.9}',
    '    |                                        ^^^^^^^',
    'help: the keys are grip, rolling_resistance, roughness',
    '',
    'stage.yaml:8:63: error: conditions.damp is 0.9; expected surfaces by name [value/kind]',
    '',
    '  8 | conditions: {wet: {gravel: {grip: wet, rolling: 0.03}}, damp: 0.9}',
    '    |                                                               ^^^',
    'help: write `damp: {gravel: {grip: 0.95}}`',
  ],
);

warns(
  'a condition of a surface that the road does not have',
  { 'stage.yaml': `${stage}conditions: {wet: {grass: {grip: 0.5}, gravel: {grip: 0.8}}}\n` },
  [
    'stage.yaml:8:20: warning: the road has no surface grass [stage/surface-unused]',
    '',
    '  8 | conditions: {wet: {grass: {grip: 0.5}, gravel: {grip: 0.8}}}',
    '    |                    ^^^^^',
    'help: its surfaces are gravel, asphalt',
  ],
);

refuses(
  'a place on the earth in numbers alone',
  { 'stage.yaml': `${stage}georeference: {latitude: 46.1, longitude: 190 deg}\n` },
  [
    'stage.yaml:8:26: error: georeference.latitude is 46.1, which has no unit; expected an angle [unit/missing]',
    '',
    '  8 | georeference: {latitude: 46.1, longitude: 190 deg}',
    '    |                          ^^^^',
    'help: write `latitude: 46.1 deg` (units: deg, also rad)',
    '',
    'stage.yaml:8:43: error: georeference.longitude is 190 deg, expected -180 to 180 deg [value/range]',
    '',
    '  8 | georeference: {latitude: 46.1, longitude: 190 deg}',
    '    |                                           ^^^^^^^',
    'help: write, for example, `longitude: 7.123456 deg`',
  ],
);
