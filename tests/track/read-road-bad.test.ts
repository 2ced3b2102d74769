/** Road tables that cannot be. Every text was read and judged by eye when it was set down. */
import { elements, points, spoil, stations } from '../fixtures/good-files.ts';
import { refuses, warns } from '../input/rendered.ts';

refuses('stations that fall', { 'road.csv': spoil(stations, '260,0.02,5,2', '60,0.02,5,2') }, [
  'road.csv:5:1: error: station_m falls from 120 to 60 m; expected it to rise [road/station_m]',
  '',
  '  5 | 60,0.02,5,2,asphalt',
  '    | ^^',
  'help: sort the rows along the road',
]);

refuses(
  'three rows at one station',
  { 'road.csv': spoil(stations, '120,0.02,4,1,gravel\n', '120,0.02,4,1,gravel\n120,0.03,4,1,gravel\n') },
  [
    'road.csv:5:1: error: station 120 m is written more than twice [road/station_m]',
    '',
    '  5 | 120,0.03,4,1,gravel',
    '    | ^^^',
    'help: two rows with one station make a step; leave the others out',
  ],
);

refuses('a step of grade', { 'road.csv': spoil(stations, '120,0.02,4', '120,0.02,7') }, [
  'road.csv:4:10: error: grade_pct jumps from 4 to 7 at station 120 m; a car cannot follow a kink [road/grade_pct]',
  '',
  '  4 | 120,0.02,7,1,gravel',
  '    |          ^',
  'help: round it with rows at station 110 with grade_pct 4, 120 with 5.5, 130 with 7',
]);

refuses(
  'a road of one row',
  {
    'road.csv': spoil(
      stations,
      '120,0,4,1,gravel\n120,0.02,4,1,gravel\n260,0.02,5,2,asphalt\n450,0,5,1,asphalt\n',
      '',
    ),
  },
  [
    'road.csv:1:1: error: the table has one row, expected 2 or more [road/rows]',
    '',
    '  1 | station_m,curvature_1pm,grade_pct,crossfall_deg,surface',
    '    | ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^',
    'help: write a row at the start and one at the finish',
  ],
);

refuses(
  'a road without length',
  {
    'road.csv': spoil(
      stations,
      '120,0,4,1,gravel\n120,0.02,4,1,gravel\n260,0.02,5,2,asphalt\n450,0,5,1,asphalt\n',
      '0,0,2,1,gravel\n',
    ),
  },
  [
    'road.csv:3:1: error: the road has no length: its last station is its first [road/station_m]',
    '',
    '  3 | 0,0,2,1,gravel',
    '    | ^',
    'help: write a row at the start and one at the finish',
  ],
);

refuses('NaN in a cell', { 'road.csv': spoil(stations, '260,0.02', '260,NaN') }, [
  'road.csv:5:5: error: curvature_1pm is NaN, which is no number; expected -1 to 1 1/m [table/number]',
  '',
  '  5 | 260,NaN,5,2,asphalt',
  '    |     ^^^',
  'help: 1/radius, positive to the left, 0 where straight: a left-hand bend of 50 m is 0.02',
]);

refuses('infinity in a cell', { 'road.csv': spoil(stations, '260,0.02', '260,1e999') }, [
  'road.csv:5:5: error: curvature_1pm is 1e999, expected -1 to 1 1/m [table/range]',
  '',
  '  5 | 260,1e999,5,2,asphalt',
  '    |     ^^^^^',
  'help: 1/radius, positive to the left, 0 where straight: a left-hand bend of 50 m is 0.02',
]);

refuses('a hexadecimal number', { 'road.csv': spoil(stations, '260,0.02', '260,0x2') }, [
  'road.csv:5:5: error: curvature_1pm is 0x2, which is no number; expected -1 to 1 1/m [table/number]',
  '',
  '  5 | 260,0x2,5,2,asphalt',
  '    |     ^^^',
  'help: 1/radius, positive to the left, 0 where straight: a left-hand bend of 50 m is 0.02',
]);

refuses('an empty cell', { 'road.csv': spoil(stations, '260,0.02', '260,') }, [
  'road.csv:5:5: error: curvature_1pm is empty, expected -1 to 1 1/m [table/empty-cell]',
  '',
  '  5 | 260,,5,2,asphalt',
  '    |     ^',
  'help: 1/radius, positive to the left, 0 where straight: a left-hand bend of 50 m is 0.02',
]);

refuses('a decimal comma in quotes', { 'road.csv': spoil(stations, '260,0.02', '260,"0,02"') }, [
  'road.csv:5:5: error: curvature_1pm is 0,02, which has a comma in its number [table/comma]',
  '',
  '  5 | 260,"0,02",5,2,asphalt',
  '    |     ^^^^^^',
  'help: write 0.02 without quotes',
]);

refuses('a decimal comma', { 'road.csv': spoil(stations, '260,0.02,5', '260,0,02,5') }, [
  'road.csv:5:1: error: the row has 6 cells, the header names 5 columns [table/cells]',
  '',
  '  5 | 260,0,02,5,2,asphalt',
  '    | ^^^^^^^^^^^^^^^^^^^^',
  'help: are there commas inside numbers? write 0.5, not 0,5',
]);

refuses('a grade out of all bounds', { 'road.csv': spoil(stations, '0,0,2,1', '0,0,200,1') }, [
  'road.csv:2:5: error: grade_pct is 200, expected -100 to 100 % [table/range]',
  '',
  '  2 | 0,0,200,1,gravel',
  '    |     ^^^',
  'help: percent, positive uphill: 8 is 8 m up in 100 m along; is a decimal point missing?',
]);

refuses('a row that lacks a cell', { 'road.csv': spoil(stations, '2,asphalt', '2') }, [
  'road.csv:5:1: error: the row has 4 cells, the header names 5 columns [table/cells]',
  '',
  '  5 | 260,0.02,5,2',
  '    | ^^^^^^^^^^^^',
  'help: an empty cell still needs its comma',
]);

refuses('no surface', { 'road.csv': spoil(stations, '2,asphalt', '2,') }, [
  'road.csv:5:14: error: surface is empty; expected a name such as gravel [road/surface]',
  '',
  '  5 | 260,0.02,5,2,',
  '    |              ^',
  'help: write gravel again if it goes on',
]);

refuses('a column misspelt', { 'road.csv': spoil(stations, 'crossfall_deg', 'crosfall_deg') }, [
  'road.csv:1:35: error: crosfall_deg is not a column of a stations table [table/column]',
  '',
  '  1 | station_m,curvature_1pm,grade_pct,crosfall_deg,surface',
  '    |                                   ^^^^^^^^^^^^',
  'help: did you mean crossfall_deg? If not: leave it out with `columns: {crosfall_deg: ignore}` in the stage',
]);

refuses('a column of no meaning', { 'road.csv': spoil(stations, 'crossfall_deg', 'temperature') }, [
  'road.csv:1:35: error: temperature is not a column of a stations table [table/column]',
  '',
  '  1 | station_m,curvature_1pm,grade_pct,temperature,surface',
  '    |                                   ^^^^^^^^^^^',
  'help: the columns are station_m, curvature_1pm, grade_pct, crossfall_deg, vertical_curvature_1pm, x_m, y_m, z_m, width_m, surface, note; leave it out with `columns: {temperature: ignore}` in the stage',
]);

refuses('a column twice', { 'road.csv': spoil(stations, 'grade_pct', 'crossfall_deg') }, [
  'road.csv:1:39: error: there are two columns crossfall_deg [table/column]',
  '',
  '  1 | station_m,curvature_1pm,crossfall_deg,crossfall_deg,surface',
  '    |                                       ^^^^^^^^^^^^^',
  'help: leave one of them out',
]);

refuses('a column missing', { 'road.csv': spoil(stations, 'curvature_1pm', 'note') }, [
  'road.csv:1:1: error: the column curvature_1pm is missing [table/column]',
  '',
  '  1 | station_m,note,grade_pct,crossfall_deg,surface',
  '    | ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^',
  'help: a stations table has the columns station_m, curvature_1pm, surface, and may have grade_pct, crossfall_deg, vertical_curvature_1pm, x_m, y_m, z_m, width_m, note',
]);

refuses('x without y', { 'road.csv': spoil(stations, 'crossfall_deg', 'x_m') }, [
  'road.csv:1:1: error: there is a column x_m but no y_m [table/column]',
  '',
  '  1 | station_m,curvature_1pm,grade_pct,x_m,surface',
  '    | ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^',
  'help: give both or neither',
]);

refuses('a header that tells nothing', { 'road.csv': spoil(stations, 'station_m', 'distance') }, [
  'road.csv:1:1: error: the header tells no kind of road table; expected a column station_m, or length_m, or x_m and y_m [road/kind]',
  '',
  '  1 | distance,curvature_1pm,grade_pct,crossfall_deg,surface',
  '    | ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^',
  'help: docs/files.md shows each kind; `columns: {theirs: ours}` in the stage renames columns',
]);

refuses('a header near a known one', { 'road.csv': spoil(stations, 'station_m', 'statoin_m') }, [
  'road.csv:1:1: error: the header tells no kind of road table; expected a column station_m, or length_m, or x_m and y_m [road/kind]',
  '',
  '  1 | statoin_m,curvature_1pm,grade_pct,crossfall_deg,surface',
  '    | ^^^^^^^^^',
  'help: did you mean station_m? `columns: {statoin_m: station_m}` in the stage renames a column',
]);

refuses('a quote left open', { 'road.csv': spoil(stations, '1,gravel\n120,0.02', '1,"gravel\n120,0.02') }, [
  'road.csv:3:11: error: a quote (") opened here is not closed [table/quote]',
  '',
  '  3 | 120,0,4,1,"gravel',
  '    |           ^^^^^^^',
  'help: close it in the same cell, or leave it out',
]);

refuses(
  'a quote inside a cell',
  { 'road.csv': spoil(stations, '1,gravel\n120,0.02', '1,gra"vel\n120,0.02') },
  [
    'road.csv:3:14: error: there is a quote (") inside a cell here [table/quote]',
    '',
    '  3 | 120,0,4,1,gra"vel',
    '    |              ^',
    'help: leave it out, or put the whole cell in quotes and write each quote inside it twice',
  ],
);

refuses(
  'a quote that closes on a later line',
  { 'road.csv': spoil(stations, '1,gravel\n120,0.02,4,1,gravel', '1,"gravel\n120,0.02,4,1,gravel"') },
  [
    'road.csv:3:1: error: a quote opened in this row closes on a later line [table/quote]',
    '',
    '  3 | 120,0,4,1,"gravel',
    '    | ^^^',
    'help: close the quote on the same line',
  ],
);

refuses('a header with nothing above the comments', { 'road.csv': '# to do\n' }, [
  'road.csv:1:1: error: the table holds no header and no rows [table/empty]',
  '',
  '  1 | # to do',
  '    | ^',
  'help: docs/files.md shows a whole example of each table',
]);

refuses(
  'a table saved with semicolons and commas',
  { 'road.csv': stations.replaceAll(',', ';').replaceAll('.', ',') },
  [
    'road.csv:1:1: error: the cells are separated by semicolons, expected commas [table/separator]',
    '',
    '  1 | station_m;curvature_1pm;grade_pct;crossfall_deg;surface',
    '    | ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^',
    'help: save the table again as CSV with commas between cells and decimal points in numbers (0.5, not 0,5)',
  ],
);

refuses('a radius of zero', { 'road.csv': spoil(elements, '40,60,', '40,0,') }, [
  'road.csv:4:4: error: radius_m is 0, expected a radius of 1 m or more to either side [road/radius]',
  '',
  '  4 | 40,0,,2,2,asphalt,',
  '    |    ^',
  'help: positive to the left, negative to the right; leave the cell empty for a straight',
]);

refuses('an end radius of zero', { 'road.csv': spoil(elements, '30,,60', '30,,0') }, [
  'road.csv:3:5: error: end_radius_m is 0, expected a radius of 1 m or more to either side [road/radius]',
  '',
  '  3 | 30,,0,2,1,gravel,"in, left"',
  '    |     ^',
  'help: positive to the left, negative to the right; write inf for a transition to a straight',
]);

refuses('a negative length', { 'road.csv': spoil(elements, '40,60,', '-40,60,') }, [
  'road.csv:4:1: error: length_m is -40, expected 0.01 to 1000000 m [table/range]',
  '',
  '  4 | -40,60,,2,2,asphalt,',
  '    | ^^^',
  'help: metres along the surface, more than 0',
]);

refuses(
  'vertical curves that overlap',
  {
    'road.csv':
      'length_m,radius_m,grade_pct,surface,vertical_curve_m\n100,,2,gravel,\n50,,6,gravel,80\n100,,1,gravel,60\n',
  },
  [
    'road.csv:3:14: error: a vertical curve of 80 m does not fit: between the changes of grade before and after there is room for 40 m [road/vertical-curve]',
    '',
    '  3 | 50,,6,gravel,80',
    '    |              ^^',
    'help: shorten it, or the vertical curve next to it',
    '',
    'road.csv:4:15: error: a vertical curve of 60 m does not fit: between the changes of grade before and after there is room for 20 m [road/vertical-curve]',
    '',
    '  4 | 100,,1,gravel,60',
    '    |               ^^',
    'help: shorten it, or the vertical curve next to it',
  ],
);

refuses(
  'a vertical curve that leaves no room for the next',
  {
    'road.csv':
      'length_m,radius_m,grade_pct,surface,vertical_curve_m\n100,,2,gravel,\n50,,6,gravel,100\n100,,1,gravel,\n',
  },
  [
    'road.csv:4:6: error: the vertical curves next to this change of grade leave no room to round it [road/vertical-curve]',
    '',
    '  4 | 100,,1,gravel,',
    '    |      ^',
    'help: shorten their vertical_curve_m',
  ],
);

refuses('a point twice', { 'road.csv': spoil(points, '20,2,101', '10,0,101') }, [
  'road.csv:4:1: error: the point 10, 0 is the same as in the row above [road/point-twice]',
  '',
  '  4 | 10,0,101',
  '    | ^^',
  'help: leave one of the two rows out',
]);

refuses('too few points', { 'road.csv': 'x_m,y_m\n0,0\n10,0\n20,1\n' }, [
  'road.csv:1:1: error: the table has 3 rows, expected 4 or more [road/rows]',
  '',
  '  1 | x_m,y_m',
  '    | ^^^^^^^',
  'help: a curve is laid through the points; give one every 5 to 20 m',
]);

refuses('points that turn back', { 'road.csv': 'x_m,y_m\n0,0\n10,0\n20,0\n10,0\n0,0\n' }, [
  'road.csv: error: no curve can be laid through the points: the road turns by 180° at point 3 alone (x 20 m, y 0 m) [road/curve]',
  'help: are the points in the order of travel?',
]);

refuses('latitude and longitude by name', { 'road.csv': spoil(points, 'x_m,y_m', 'lat,lon') }, [
  'road.csv:1:1: error: the header tells no kind of road table; expected a column station_m, or length_m, or x_m and y_m [road/kind]',
  '',
  '  1 | lat,lon,z_m',
  '    | ^^^^^^^^^^^',
  'help: `splitcast survey road.csv --out FOLDER` makes a stage from latitude and longitude',
]);

refuses(
  'a stations table with latitude and longitude',
  { 'road.csv': 'station_m,lat,lon\n0,46,7\n9,46.1,7\n' },
  [
    'road.csv:1:11: error: a stations table has curvature_1pm; lat is a position [road/kind]',
    '',
    '  1 | station_m,lat,lon',
    '    |           ^^^',
    'help: `splitcast survey road.csv --out FOLDER` makes a stage from latitude and longitude',
  ],
);

refuses('a stations table with radii', { 'road.csv': 'station_m,radius_m,surface\n0,,ice\n9,50,ice\n' }, [
  'road.csv:1:11: error: radius_m is no column of a stations table, which has curvature_1pm [road/kind]',
  '',
  '  1 | station_m,radius_m,surface',
  '    |           ^^^^^^^^',
  'help: write 1/radius in a column curvature_1pm: 0.02 for a left-hand bend of 50 m, -0.02 for a right-hand one, 0 where straight',
]);

refuses(
  'free text as surface',
  {
    'road.csv': `station_m,curvature_1pm,surface\n${Array.from({ length: 150 }, (_, i) => `${i},0,stone ${i}\n`).join('')}`,
  },
  [
    'road.csv:102:7: error: the column surface names more than 100 surfaces [road/surface]',
    '',
    '  102 | 100,0,stone 100',
    '      |       ^^^^^^^^^',
    'help: name the kind of surface, such as gravel; free text belongs into the column note',
  ],
);

warns(
  'a vertical curvature that the grade does not bear out',
  {
    'road.csv':
      'station_m,curvature_1pm,grade_pct,vertical_curvature_1pm,surface\n0,0,2,0,gravel\n20,0,2,0,gravel\n40,0,8,0.1,gravel\n60,0,8,0,gravel\n',
  },
  [
    'road.csv:5:8: warning: vertical_curvature_1pm is 0.05 1/m on average up to this row, the change of grade_pct gives 0 1/m (worst of 2 places) [road/vertical-curvature]',
    '',
    '  5 | 60,0,8,0,gravel',
    '    |        ^',
    'help: the column stands as given; leave it out to have it derived from the grade',
  ],
);

warns('crossfall that jumps', { 'road.csv': spoil(elements, '200,,,-3,1', '200,,,-3,-6') }, [
  'road.csv:6:10: warning: crossfall_deg jumps from 1 to -6 deg at one place [road/crossfall-step]',
  '',
  '  6 | 200,,,-3,-6,gravel,',
  '    |          ^^',
  'help: the jump stands as written; rows between would spread it over some metres',
]);

refuses('a width to one side only', { 'road.csv': 'x_m,y_m,width_right_m\n0,0,2\n9,0,2\n18,0,2\n27,0,2\n' }, [
  'road.csv:1:1: error: there is a column width_right_m but no width_left_m [table/column]',
  '',
  '  1 | x_m,y_m,width_right_m',
  '    | ^^^^^^^^^^^^^^^^^^^^^',
  'help: give both, or the whole width as width_m',
]);

refuses(
  'a width given twice',
  {
    'road.csv': 'x_m,y_m,width_m,width_left_m,width_right_m\n0,0,4,2,2\n9,0,4,2,2\n18,0,4,2,2\n27,0,4,2,2\n',
  },
  [
    'road.csv:1:1: error: the width is given twice: as width_m, and as width_left_m with width_right_m [table/column]',
    '',
    '  1 | x_m,y_m,width_m,width_left_m,width_right_m',
    '    | ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^',
    'help: leave one of the two out',
  ],
);
