/** Cars and engine tables that cannot be. Every text was read and judged by eye when it was set down. */
import { car, engine, power, spoil } from '../fixtures/good-files.ts';
import { refuses } from '../input/rendered.ts';

refuses('gears that do not fall', { 'car.yaml': spoil(car, '1.33, 1.08', '1.08, 1.33') }, [
  'car.yaml:11:35: error: item 5 of driveline.gears is 1.33 after 1.08; expected it to fall from gear to gear [car/gears]',
  '',
  '  11 |   gears: [3.08, 2.19, 1.68, 1.08, 1.33, 0.90]',
  '     |                                   ^^^^',
  'help: list the gears from first to last: first has the greatest number',
]);

refuses(
  'one gear without a list',
  { 'car.yaml': spoil(car, '[3.08, 2.19, 1.68, 1.33, 1.08, 0.90]', '3.08') },
  [
    'car.yaml:11:10: error: driveline.gears is 3.08; expected a list of gear ratios [value/kind]',
    '',
    '  11 |   gears: 3.08',
    '     |          ^^^^',
    'help: write `gears: [3.08, 2.19, 1.68]`',
  ],
);

refuses('gears without a final drive', { 'car.yaml': spoil(car, '  final_drive: 4.30\n', '') }, [
  'car.yaml:9:1: error: driveline.final_drive is missing: there are gear ratios [key/missing]',
  '',
  '  9 | driveline:',
  '    | ^^^^^^^^^',
  'help: write `final_drive: 4.30` below `driveline:`',
]);

refuses('gears without a tyre radius', { 'car.yaml': spoil(car, '  radius: 0.31 m\n', '') }, [
  'car.yaml:4:1: error: tyre.radius is missing: gear ratios need it [key/missing]',
  '',
  '  4 | tyre:',
  '    | ^^^^',
  'help: write `radius: 0.31 m` below `tyre:`',
]);

refuses(
  'gears given in both ways',
  { 'car.yaml': spoil(car, '  shift', '  rpm_per_kmh: [100, 50]\n  shift') },
  [
    'car.yaml:14:3: error: driveline.rpm_per_kmh and driveline.gears or final_drive are both given [car/both]',
    '',
    '  14 |   rpm_per_kmh: [100, 50]',
    '     |   ^^^^^^^^^^^',
    'help: rpm_per_kmh takes the place of gears, final_drive and tyre.radius',
  ],
);

refuses(
  'an engine table without gears',
  { 'car.yaml': spoil(car, '  gears: [3.08, 2.19, 1.68, 1.33, 1.08, 0.90]\n  final_drive: 4.30\n', '') },
  [
    'car.yaml:9:1: error: driveline.gears is missing: an engine table needs gears [key/missing]',
    '',
    '  9 | driveline:',
    '    | ^^^^^^^^^',
    'help: write `gears: [3.08, 2.19, 1.68]` and `final_drive: 4.30`, or `rpm_per_kmh: [107.5, 56.6]`',
  ],
);

refuses(
  'an efficiency for some of the gears',
  { 'car.yaml': spoil(car, 'efficiency: 0.88', 'efficiency: [0.88, 0.89]') },
  [
    'car.yaml:13:15: error: driveline.efficiency has 2 entries, but there are 6 gears [car/per-gear]',
    '',
    '  13 |   efficiency: [0.88, 0.89]',
    '     |               ^^^^^^^^^^^^',
    'help: give one number for all gears, or one per gear',
  ],
);

refuses(
  'rotating inertias beside a mass factor',
  { 'car.yaml': spoil(car, 'mass_factor: 1.05', 'mass_factor: 1.05\nrotating: {engine: 0.14 kg m^2}') },
  [
    'car.yaml:3:1: error: mass_factor and rotating are both given [car/both]',
    '',
    '  3 | mass_factor: 1.05',
    '    | ^^^^^^^^^^^',
    'help: give the inertias, or one factor for all gears',
  ],
);

refuses(
  'inertias for the wrong number of gears',
  { 'car.yaml': spoil(car, 'mass_factor: 1.05', 'rotating: {gearbox: [0.01 kg m^2]}') },
  [
    'car.yaml:3:21: error: rotating.gearbox has 1 entry, but there are 6 gears [car/per-gear]',
    '',
    '  3 | rotating: {gearbox: [0.01 kg m^2]}',
    '    |                     ^^^^^^^^^^^^^',
    'help: give one inertia per gear',
  ],
);

refuses(
  'a road load beside a drag area',
  {
    'car.yaml': spoil(
      car,
      'brakes:',
      'road_load: {f0: 200 N, f1: 0.35 N h/km, f2: 0.032 N h^2/km^2}\nbrakes:',
    ),
  },
  [
    'car.yaml:7:7: error: air.drag_area and road_load are both given [car/both]',
    '',
    '  7 | air: {drag_area: 0.74 m^2, downforce_area: 0.30 m^2}',
    '    |       ^^^^^^^^^',
    'help: the road load already holds the drag: leave air.drag_area out',
  ],
);

refuses(
  'a road load with slips in its units',
  {
    'car.yaml': spoil(
      car,
      'air: {drag_area: 0.74 m^2, downforce_area: 0.30 m^2}',
      'road_load: {f0: 200 N, f1: 0.35, f2: 0.032 N h/km}',
    ),
  },
  [
    'car.yaml:7:28: error: road_load.f1 is 0.35, which has no unit; expected a force per speed [unit/missing]',
    '',
    '  7 | road_load: {f0: 200 N, f1: 0.35, f2: 0.032 N h/km}',
    '    |                            ^^^^',
    'help: write `f1: 0.35 N h/km` (units: N h/km, also N s/m)',
    '',
    'car.yaml:7:38: error: road_load.f2 is 0.032 N h/km, which is a force per speed; expected a force per speed squared [unit/dimension]',
    '',
    '  7 | road_load: {f0: 200 N, f1: 0.35, f2: 0.032 N h/km}',
    '    |                                      ^^^^^^^^^^^^',
    'help: write `f2: 0.032 N h^2/km^2` (units: N h^2/km^2, also N s^2/m^2)',
  ],
);

refuses(
  'a propeller shaft of unknown speed, and wheels without a radius',
  {
    'car.yaml': spoil(
      spoil(
        spoil(car, 'mass_factor: 1.05', 'rotating: {final_drive: 0.02 kg m^2, wheels: 4 kg m^2}'),
        '  gears: [3.08, 2.19, 1.68, 1.33, 1.08, 0.90]\n  final_drive: 4.30',
        '  rpm_per_kmh: [100, 50]',
      ),
      '  radius: 0.31 m\n',
      '',
    ),
  },
  [
    'car.yaml:3:12: error: rotating.final_drive is given, but with rpm_per_kmh the speed of the propeller shaft is not known [car/rotating]',
    '',
    '  3 | rotating: {final_drive: 0.02 kg m^2, wheels: 4 kg m^2}',
    '    |            ^^^^^^^^^^^',
    'help: give gears and final_drive, or add it to the wheels: inertia x ratio^2',
    '',
    'car.yaml:3:38: error: rotating.wheels needs tyre.radius, which is missing [car/rotating]',
    '',
    '  3 | rotating: {final_drive: 0.02 kg m^2, wheels: 4 kg m^2}',
    '    |                                      ^^^^^^',
    'help: write `radius: 0.31 m` below `tyre:`',
  ],
);

refuses(
  'an engine without a curve',
  { 'car.yaml': spoil(car, '{torque: engine.csv, limit: 7400 rpm}', '{limit: 7400 rpm}') },
  [
    'car.yaml:8:1: error: engine.torque is missing: the engine has no curve [key/missing]',
    '',
    '  8 | engine: {limit: 7400 rpm}',
    '    | ^^^^^^',
    'help: write `torque: engine.csv`, `power: engine.csv` or `power: 150 kW`',
  ],
);

refuses('a torque in place of a table', { 'car.yaml': spoil(car, 'torque: engine.csv', 'torque: 310 N m') }, [
  "car.yaml:8:18: error: engine.torque is 310 N m; expected an engine table's file [engine/torque]",
  '',
  '  8 | engine: {torque: 310 N m, limit: 7400 rpm}',
  '    |                  ^^^^^^^',
  'help: write `torque: engine.csv`, a table with the columns engine_rpm and torque_Nm',
]);

refuses(
  'a torque table named as power',
  { 'car.yaml': spoil(car, 'torque: engine.csv', 'power: engine.csv') },
  [
    'car.yaml:8:17: error: engine.power names engine.csv, which has a column torque_Nm and no power_kW [engine/column]',
    '',
    '  8 | engine: {power: engine.csv, limit: 7400 rpm}',
    '    |                 ^^^^^^^^^^',
    'help: write `torque:` in place of `power:`',
  ],
);

refuses(
  'one power for every speed beside gears',
  { 'car.yaml': spoil(car, '{torque: engine.csv, limit: 7400 rpm}', '{power: 150 kW}') },
  [
    'car.yaml:11:3: error: driveline.gears is given beside one power for every speed [car/constant-power]',
    '',
    '  11 |   gears: [3.08, 2.19, 1.68, 1.33, 1.08, 0.90]',
    '     |   ^^^^^',
    'help: an engine with one power at every speed has no gears: leave it out, or give an engine table',
    '',
    'car.yaml:12:3: error: driveline.final_drive is given beside one power for every speed [car/constant-power]',
    '',
    '  12 |   final_drive: 4.30',
    '     |   ^^^^^^^^^^^',
    'help: an engine with one power at every speed has no gears: leave it out, or give an engine table',
    '',
    'car.yaml:14:3: error: driveline.shift is given beside one power for every speed [car/constant-power]',
    '',
    '  14 |   shift: 0.12 s',
    '     |   ^^^^^',
    'help: an engine with one power at every speed has no gears: leave it out, or give an engine table',
  ],
);

refuses('a limit beyond the table', { 'car.yaml': spoil(car, '7400 rpm', '8000 rpm') }, [
  'car.yaml:8:37: error: engine.limit is 8000 rpm, but the engine table ends at 7500 rpm [engine/speeds]',
  '',
  '  8 | engine: {torque: engine.csv, limit: 8000 rpm}',
  '    |                                     ^^^^^^^^',
  'help: add rows to the table up to the limit, or lower the limit',
]);

refuses(
  'an idle below the table',
  { 'car.yaml': spoil(car, 'limit: 7400 rpm', 'idle: 800 rpm, limit: 7400 rpm') },
  [
    'car.yaml:8:36: error: engine.idle is 800 rpm, but the engine table begins at 1000 rpm [engine/speeds]',
    '',
    '  8 | engine: {torque: engine.csv, idle: 800 rpm, limit: 7400 rpm}',
    '    |                                    ^^^^^^^',
    'help: add a row at idle to the table, or raise idle',
  ],
);

refuses(
  'an idle above the limit',
  { 'car.yaml': spoil(car, 'limit: 7400 rpm', 'idle: 7000 rpm, limit: 6400 rpm') },
  [
    'car.yaml:8:36: error: engine.idle is 7000 rpm, expected less than the limit, 6400 rpm [engine/speeds]',
    '',
    '  8 | engine: {torque: engine.csv, idle: 7000 rpm, limit: 6400 rpm}',
    '    |                                    ^^^^^^^^',
    'help: the order is idle, launch, limit',
  ],
);

refuses(
  'a launch above the limit',
  { 'car.yaml': spoil(car, 'limit: 7400 rpm', 'launch: 7450 rpm, limit: 7400 rpm') },
  [
    'car.yaml:8:38: error: engine.launch is 7450 rpm, expected 1000 rpm (idle) to 7400 rpm (limit) [engine/speeds]',
    '',
    '  8 | engine: {torque: engine.csv, launch: 7450 rpm, limit: 7400 rpm}',
    '    |                                      ^^^^^^^^',
    'help: launch is the engine speed held while the clutch slips',
  ],
);

refuses('driven wheels that do not exist', { 'car.yaml': spoil(car, 'driven: all', 'driven: back') }, [
  'car.yaml:10:11: error: driveline.driven is back, expected one of front, rear, all [value/choice]',
  '',
  '  10 |   driven: back',
  '     |           ^^^^',
  'help: write, for example, `driven: front`',
]);

refuses('driven rear wheels without their load', { 'car.yaml': spoil(car, 'driven: all', 'driven: rear') }, [
  'car.yaml:10:11: error: driveline.driven_load is missing: the rear wheels drive, so their share of the weight is needed [key/missing]',
  '',
  '  10 |   driven: rear',
  '     |           ^^^^',
  'help: write `driven_load: 0.58` (the share of the weight on the rear axle) below `driveline:`',
]);

refuses(
  'a driven load where all are driven',
  { 'car.yaml': spoil(car, 'driven: all', 'driven: all\n  driven_load: 0.5') },
  [
    'car.yaml:11:16: error: driveline.driven_load is 0.5, but all wheels are driven, so it is 1 [car/driven-load]',
    '',
    '  11 |   driven_load: 0.5',
    '     |                ^^^',
    'help: leave driven_load out',
  ],
);

refuses('a grip of nothing', { 'car.yaml': spoil(car, 'gravel: 0.62', 'gravel: 0') }, [
  'car.yaml:6:18: error: tyre.grip.gravel is 0, expected more than 0 and at most 5 [value/range]',
  '',
  '  6 |   grip: {gravel: 0, asphalt: {across: 0.95, along: 1.00}}',
  '    |                  ^',
  'help: write, for example, `gravel: 0.95`',
]);

refuses(
  'one grip for no surface',
  { 'car.yaml': spoil(car, '{gravel: 0.62, asphalt: {across: 0.95, along: 1.00}}', '0.9') },
  [
    'car.yaml:6:9: error: tyre.grip is 0.9; expected a grip for each surface [value/kind]',
    '',
    '  6 |   grip: 0.9',
    '    |         ^^^',
    'help: write `grip: {gravel: 0.62, asphalt: 0.95}`',
  ],
);

refuses('a grip without one direction', { 'car.yaml': spoil(car, ', along: 1.00', '') }, [
  'car.yaml:6:24: error: tyre.grip.asphalt.along is missing; expected a grip, the greatest force per load [key/missing]',
  '',
  '  6 |   grip: {gravel: 0.62, asphalt: {across: 0.95}}',
  '    |                        ^^^^^^^',
  'help: write `along: 0.95` below `asphalt:`',
]);

refuses('a torque table of one row', { 'engine.csv': spoil(engine, '3000,260\n5500,310\n7500,240\n', '') }, [
  'engine.csv:1:1: error: the engine table has one row, expected 2 or more [engine/rows]',
  '',
  '  1 | engine_rpm,torque_Nm',
  '    | ^^^^^^^^^^^^^^^^^^^^',
  'help: write a row for each engine speed of the full-load curve; between rows it is linear',
]);

refuses('engine speeds that do not rise', { 'engine.csv': spoil(engine, '5500,310', '2500,310') }, [
  'engine.csv:4:1: error: engine_rpm goes from 3000 to 2500 rpm; expected it to rise [engine/order]',
  '',
  '  4 | 2500,310',
  '    | ^^^^',
  'help: sort the rows by engine speed, each once',
]);

refuses(
  'cells between semicolons',
  { 'engine.csv': spoil(engine, 'engine_rpm,torque_Nm', 'engine_rpm;torque_Nm') },
  [
    'engine.csv:1:1: error: the cells are separated by semicolons, expected commas [table/separator]',
    '',
    '  1 | engine_rpm;torque_Nm',
    '    | ^^^^^^^^^^^^^^^^^^^^',
    'help: save the table again as CSV with commas between cells and decimal points in numbers (0.5, not 0,5)',
  ],
);

refuses('a table without a header', { 'engine.csv': spoil(engine, 'engine_rpm,torque_Nm\n', '') }, [
  'engine.csv:1:1: error: the first line holds numbers, expected the names of the columns [table/header]',
  '',
  '  1 | 1000,120',
  '    | ^^^^^^^^',
  'help: put a line such as station_m,curvature_1pm,surface (a road) or engine_rpm,torque_Nm (an engine) above it',
]);

refuses('a torque in another unit', { 'engine.csv': spoil(engine, 'torque_Nm', 'torque_lbft') }, [
  'engine.csv:1:1: error: the column torque_Nm is missing [table/column]',
  '',
  '  1 | engine_rpm,torque_lbft',
  '    | ^^^^^^^^^^^^^^^^^^^^^^',
  'help: an engine table has the columns engine_rpm, torque_Nm, and may have power_kW, note',
  '',
  'engine.csv:1:12: error: torque_lbft is not a column of an engine table [table/column]',
  '',
  '  1 | engine_rpm,torque_lbft',
  '    |            ^^^^^^^^^^^',
  'help: did you mean torque_Nm, with values in Nm? If not: leave out what is not needed',
]);

refuses(
  'no torque at all',
  { 'engine.csv': spoil(engine, '1000,120\n3000,260\n5500,310\n7500,240', '1000,0\n7500,0') },
  [
    'engine.csv:1:1: error: torque_Nm is 0 in every row [engine/dead]',
    '',
    '  1 | engine_rpm,torque_Nm',
    '    | ^^^^^^^^^^^^^^^^^^^^',
    'help: give the full-load curve',
  ],
);

refuses(
  'power at rest',
  {
    'car.yaml': spoil(car, 'torque: engine.csv', 'power: power.csv'),
    'power.csv': spoil(power, '1000,12', '0,12'),
  },
  [
    'power.csv:2:3: error: power_kW is 12 kW at 0 rpm, which would be a torque without bound [engine/rest]',
    '',
    '  2 | 0,12',
    '    |   ^^',
    'help: write 0 there, or begin the table at a higher engine speed',
  ],
);
