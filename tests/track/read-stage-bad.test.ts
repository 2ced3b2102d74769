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
    'help: add its grip to tyre.grip in car.yaml, such as `asphalt: 0.7`; it has gravel, tarmac',
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
