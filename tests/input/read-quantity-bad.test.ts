/** Quantities and numbers as people miswrite them. Every text was read and judged by eye when it was set down. */
import { car, spoil, stage } from '../fixtures/good-files.ts';
import { refuses } from './rendered.ts';

refuses('a quantity without its unit', { 'car.yaml': spoil(car, '1390 kg', '1390') }, [
  'car.yaml:2:7: error: mass is 1390, which has no unit; expected a mass [unit/missing]',
  '',
  '  2 | mass: 1390',
  '    |       ^^^^',
  'help: write `mass: 1390 kg` (units: kg, also t, lb)',
]);

refuses('a quantity of another dimension', { 'car.yaml': spoil(car, '1390 kg', '1390 km') }, [
  'car.yaml:2:7: error: mass is 1390 km, which is a length; expected a mass [unit/dimension]',
  '',
  '  2 | mass: 1390 km',
  '    |       ^^^^^^^',
  'help: write `mass: 1390 kg` (units: kg, also t, lb)',
]);

refuses('a power where a force is due', { 'car.yaml': spoil(car, '17 kN', '17 kW') }, [
  'car.yaml:15:17: error: brakes.force is 17 kW, which is a power; expected a force [unit/dimension]',
  '',
  '  15 | brakes: {force: 17 kW}',
  '     |                 ^^^^^',
  'help: write `force: 17 kN` (units: N, also kN, lbf)',
]);

refuses('a unit that does not exist', { 'car.yaml': spoil(car, '1390 kg', '1390 kgs') }, [
  'car.yaml:2:7: error: mass is 1390 kgs, which has the unknown unit `kgs`; expected a mass [unit/unknown]',
  '',
  '  2 | mass: 1390 kgs',
  '    |       ^^^^^^^^',
  'help: write `mass: 1390 kg` (units: kg, also t, lb)',
]);

refuses('a unit in the wrong case', { 'car.yaml': spoil(car, '7400 rpm', '7400 RPM') }, [
  'car.yaml:8:37: error: engine.limit is 7400 RPM, which has the unknown unit `RPM`; expected an engine speed [unit/unknown]',
  '',
  '  8 | engine: {torque: engine.csv, limit: 7400 RPM}',
  '    |                                     ^^^^^^^^',
  'help: write `limit: 7400 rpm` (units: rpm, also rad/s)',
]);

refuses(
  'horsepower in small letters',
  { 'car.yaml': spoil(car, '{torque: engine.csv, limit: 7400 rpm}', '{power: 150 ps}') },
  [
    'car.yaml:8:17: error: engine.power is 150 ps, which has the unknown unit `ps`; expected a power [unit/unknown]',
    '',
    '  8 | engine: {power: 150 ps}',
    '    |                 ^^^^^^',
    'help: write `power: 150 PS` (units: kW, also PS, hp)',
  ],
);

refuses('a decimal comma in a quantity', { 'car.yaml': spoil(car, 'radius: 0.31 m', 'radius: "0,31 m"') }, [
  'car.yaml:5:11: error: tyre.radius is 0,31 m, which has a comma in its number; expected a length with a decimal point [unit/comma]',
  '',
  '  5 |   radius: "0,31 m"',
  '    |           ^^^^^^^^',
  'help: write `radius: 0.31 m` (units: m, also km, ft, mi)',
]);

refuses('a word where a quantity is due', { 'car.yaml': spoil(car, '1390 kg', 'heavy') }, [
  'car.yaml:2:7: error: mass is heavy, which is no number with a unit; expected a mass such as 1390 kg [unit/number]',
  '',
  '  2 | mass: heavy',
  '    |       ^^^^^',
  'help: write `mass: 1390 kg` (units: kg, also t, lb)',
]);

refuses('a unit without a number', { 'car.yaml': spoil(car, '1390 kg', 'kg') }, [
  'car.yaml:2:7: error: mass is kg, which is no number with a unit; expected a mass such as 1390 kg [unit/number]',
  '',
  '  2 | mass: kg',
  '    |       ^^',
  'help: write `mass: 1390 kg` (units: kg, also t, lb)',
]);

refuses('a list where a quantity is due', { 'car.yaml': spoil(car, '1390 kg', '[1390 kg]') }, [
  'car.yaml:2:7: error: mass is a list; expected a mass [unit/number]',
  '',
  '  2 | mass: [1390 kg]',
  '    |       ^^^^^^^^^',
  'help: write `mass: 1390 kg` (units: kg, also t, lb)',
]);

refuses('a quantity out of all bounds', { 'car.yaml': spoil(car, '1390 kg', '1.39 kg') }, [
  'car.yaml:2:7: error: mass is 1.39 kg, expected 50 to 60000 kg [value/range]',
  '',
  '  2 | mass: 1.39 kg',
  '    |       ^^^^^^^',
  'help: the mass as started: car, crew, fuel, spare',
]);

refuses('an endless quantity', { 'car.yaml': spoil(car, '1390 kg', '1e400 kg') }, [
  'car.yaml:2:7: error: mass is 1e400 kg, which is too large a number; expected a mass such as 1390 kg [unit/number]',
  '',
  '  2 | mass: 1e400 kg',
  '    |       ^^^^^^^^',
  'help: write `mass: 1390 kg` (units: kg, also t, lb)',
]);

refuses('a unit on a pure number', { 'car.yaml': spoil(car, 'final_drive: 4.30', 'final_drive: 4.30 m') }, [
  'car.yaml:12:16: error: driveline.final_drive is 4.30 m; expected a ratio, a number without a unit [unit/unwanted]',
  '',
  '  12 |   final_drive: 4.30 m',
  '     |                ^^^^^^',
  'help: write `final_drive: 4.3`',
]);

refuses('percent on a pure number', { 'car.yaml': spoil(car, 'efficiency: 0.88', 'efficiency: 88 %') }, [
  'car.yaml:13:15: error: driveline.efficiency is 88 %; expected an efficiency, a number without a unit [unit/unwanted]',
  '',
  '  13 |   efficiency: 88 %',
  '     |               ^^^^',
  'help: write `efficiency: 0.88`',
]);

refuses('a pure number in quotes', { 'car.yaml': spoil(car, 'efficiency: 0.88', "efficiency: '0.88'") }, [
  "car.yaml:13:15: error: driveline.efficiency is the text '0.88'; expected an efficiency [value/kind]",
  '',
  "  13 |   efficiency: '0.88'",
  '     |               ^^^^^^',
  'help: write it without quotes: `efficiency: 0.88`',
]);

refuses(
  'a decimal comma in a pure number',
  { 'car.yaml': spoil(car, 'final_drive: 4.30', 'final_drive: 4,30') },
  [
    'car.yaml:12:16: error: driveline.final_drive is 4,30, which has a comma; expected a ratio with a decimal point [unit/comma]',
    '',
    '  12 |   final_drive: 4,30',
    '     |                ^^^^',
    'help: write `final_drive: 4.30`',
  ],
);

refuses('a number that is none', { 'car.yaml': spoil(car, 'final_drive: 4.30', 'final_drive: .nan') }, [
  'car.yaml:12:16: error: driveline.final_drive is NaN, expected more than 0 and at most 50 [value/range]',
  '',
  '  12 |   final_drive: .nan',
  '     |                ^^^^',
  'help: write, for example, `final_drive: 4.30`',
]);

refuses('an endless number', { 'car.yaml': spoil(car, 'final_drive: 4.30', 'final_drive: .inf') }, [
  'car.yaml:12:16: error: driveline.final_drive is Infinity, expected more than 0 and at most 50 [value/range]',
  '',
  '  12 |   final_drive: .inf',
  '     |                ^^^^',
  'help: write, for example, `final_drive: 4.30`',
]);

refuses('a pure number out of bounds', { 'car.yaml': spoil(car, 'mass_factor: 1.05', 'pace: 92') }, [
  'car.yaml:3:7: error: pace is 92, expected more than 0 and at most 1.2 [value/range]',
  '',
  '  3 | pace: 92',
  '    |       ^^',
  'help: write, for example, `pace: 0.92`',
]);

refuses(
  'a bare number that most likely lacks the unit of the example',
  { 'stage.yaml': spoil(stage, '[0.2 km, 300 m]', '[0.2, 300 m]') },
  [
    'stage.yaml:4:10: error: item 1 of splits is 0.2, which has no unit; expected a length [unit/missing]',
    '',
    '  4 | splits: [0.2, 300 m]',
    '    |          ^^^',
    'help: write `0.2 km` (units: m, also km, ft, mi)',
  ],
);

refuses('a temperature in coulombs', { 'stage.yaml': spoil(stage, '9 degC', '9 C') }, [
  'stage.yaml:5:37: error: air.temperature is 9 C, which has the unknown unit `C`; expected a temperature [unit/unknown]',
  '',
  '  5 | air: {altitude: 310 m, temperature: 9 C}',
  '    |                                     ^^^',
  'help: write `temperature: 9 degC` (units: degC, also K, degF)',
]);
