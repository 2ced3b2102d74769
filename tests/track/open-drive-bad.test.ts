/** OpenDRIVE files that make no road. Every text was read and judged by eye when it was set down. */
import { goodFiles } from '../fixtures/good-files.ts';
import { openDrive, piece, road } from '../helpers/open-drive.ts';
import { refuses, warns } from '../input/rendered.ts';

const stage = (keys = '') => ({ 'stage.yaml': `stage: Test\nroad: road.xodr\n${keys}` });
const xodr = (...roads: readonly string[]) => ({ ...stage(), 'road.xodr': openDrive(...roads) });
const line = piece(0, [0, 0, 0], 50, '<line/>');

refuses('another XML', { ...stage(), 'road.xodr': '<?xml version="1.0"?>\n<gpx version="1.1"></gpx>\n' }, [
  'road.xodr:2:2: error: the outermost element is <gpx>, expected <OpenDRIVE> [xodr/root]',
  '',
  '  2 | <gpx version="1.1"></gpx>',
  '    |  ^^^',
  'help: is this an OpenDRIVE file?',
]);

refuses('no road at all', xodr(), [
  'road.xodr:1:1: error: the file holds no road [xodr/road]',
  '',
  '  1 | <?xml version="1.0"?>',
  '    | ^',
  'help: expected <OpenDRIVE> with one <road> or more',
]);

refuses(
  'an entity bomb',
  {
    ...stage(),
    'road.xodr': '<?xml version="1.0"?>\n<!DOCTYPE a [<!ENTITY b "bbbb">]>\n<OpenDRIVE>&b;</OpenDRIVE>\n',
  },
  [
    'road.xodr:2:1: error: there is a document type declaration (`<!DOCTYPE`) here, expected none [xml/doctype]',
    '',
    '  2 | <!DOCTYPE a [<!ENTITY b "bbbb">]>',
    '    | ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^',
    'help: leave it out; entities that it declares are not read, and nothing is fetched',
  ],
);

refuses(
  'numbers that are none, or out of bounds, or missing',
  xodr(
    road('7', [
      '<geometry s="0" x="0,5" y="1e999" length="0"><arc curvature="50"/></geometry>',
      '<geometry s="9" x="0" y="0" hdg="" length="5"><spiral curvStart="0"/></geometry>',
    ]),
  ),
  [
    'road.xodr:6:2: error: <geometry> has no hdg, expected a number [xodr/number]',
    '',
    '  6 | <geometry s="0" x="0,5" y="1e999" length="0"><arc curvature="50"/></geometry>',
    '    |  ^^^^^^^^',
    'help: radians, counterclockwise from the x axis',
    '',
    'road.xodr:6:20: error: x is 0,5, expected a number [xodr/number]',
    '',
    '  6 | <geometry s="0" x="0,5" y="1e999" length="0"><arc curvature="50"/></geometry>',
    '    |                    ^^^',
    'help: numbers have a decimal point and no unit',
    '',
    'road.xodr:6:28: error: y is 1e999, expected a number [xodr/number]',
    '',
    '  6 | <geometry s="0" x="0,5" y="1e999" length="0"><arc curvature="50"/></geometry>',
    '    |                            ^^^^^',
    'help: numbers have a decimal point and no unit',
    '',
    'road.xodr:6:43: error: length is 0, expected a number from 0.0001 to 1000000 [xodr/number]',
    '',
    '  6 | <geometry s="0" x="0,5" y="1e999" length="0"><arc curvature="50"/></geometry>',
    '    |                                           ^',
    'help: metres, more than 0',
    '',
    'road.xodr:6:62: error: curvature is 50, expected a number from -1 to 1 [xodr/number]',
    '',
    '  6 | <geometry s="0" x="0,5" y="1e999" length="0"><arc curvature="50"/></geometry>',
    '    |                                                              ^^',
    'help: 1/radius, positive to the left: a left-hand bend of 50 m has 0.02',
    '',
    'road.xodr:7:34: error: hdg is empty, expected a number [xodr/number]',
    '',
    '  7 | <geometry s="9" x="0" y="0" hdg="" length="5"><spiral curvStart="0"/></geometry>',
    '    |                                  ^',
    'help: radians, counterclockwise from the x axis',
    '',
    'road.xodr:7:48: error: <spiral> has no curvEnd, expected a number from -1 to 1 [xodr/number]',
    '',
    '  7 | <geometry s="9" x="0" y="0" hdg="" length="5"><spiral curvStart="0"/></geometry>',
    '    |                                                ^^^^^^',
    'help: 1/radius, positive to the left, 0 where straight',
  ],
);

refuses(
  'pieces that do not go on from each other, or stand in no order',
  xodr(
    road('7', [
      piece(0, [0, 0, 0], 50, '<arc curvature="0.02"/>'),
      piece(50, [50, 0, 0], 10, '<line/>'),
      piece(40, [60, 0, 0], 10, '<line/>'),
    ]),
  ),
  [
    'road.xodr:7:1: error: the piece does not go on from the one before: 24.31 m off, turned by 57.3 deg [xodr/gap]',
    '',
    '  7 | <geometry s="50" x="50" y="0" hdg="0" length="10"><line/></geometry>',
    '    | ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^',
    'help: the one before ends at x 42.074 m, y 22.985 m, heading 1.00000 rad',
    '',
    'road.xodr:8:14: error: s is 40 m, but the piece before begins at 50 m [xodr/order]',
    '',
    '  8 | <geometry s="40" x="60" y="0" hdg="0" length="10"><line/></geometry>',
    '    |              ^^',
    'help: the pieces of a road stand in the order of s',
  ],
);

refuses(
  'a road without geometry, a piece without a shape, an id twice',
  xodr(road('7', []), road('7', [piece(0, [0, 0, 0], 50, '')])),
  [
    'road.xodr:9:1: error: the road 7 has no geometry [xodr/geometry]',
    '',
    '  9 | </road>',
    '    | ^^^^^^^',
    'help: a road has a <planView> with one <geometry> or more',
    '',
    'road.xodr:10:11: error: there are two roads with the id 7 [xodr/id]',
    '',
    '  10 | <road id="7" length="0" junction="-1">',
    '     |           ^',
    'help: every road has an id of its own, such as id="12"',
    '',
    'road.xodr:12:49: error: a piece of the road 7, at s 0 m, has no shape [xodr/geometry]',
    '',
    '  12 | <geometry s="0" x="0" y="0" hdg="0" length="50"></geometry>',
    '     |                                                 ^^^^^^^^^^^',
    'help: expected <line/>, <arc/>, <spiral/>, <poly3/> or <paramPoly3/> in the <geometry>',
  ],
);

refuses('an arc that winds up', xodr(road('7', [piece(0, [0, 0, 0], 500, '<arc curvature="0.5"/>')])), [
  'road.xodr:6:72: error: a piece of 500 m turns round 40 times [xodr/turn]',
  '',
  '  6 | <geometry s="0" x="0" y="0" hdg="0" length="500"><arc curvature="0.5"/></geometry>',
  '    |                                                                        ^^^^^^^^^^^',
  'help: curvatures are in 1/m: a left-hand bend of 50 m has 0.02',
]);

refuses(
  'a cubic with a kink',
  xodr(road('7', [piece(0, [0, 0, 0], 50, '<poly3 a="0" b="0" c="5" d="0"/>')])),
  [
    'road.xodr: error: the road 7 turns tighter than with a radius of 1 m, 0.0 m from its start [xodr/curve]',
    'help: are the coefficients of its curve in metres?',
  ],
);

refuses('roads that are no chain', xodr(road('7', [line]), road('8', [line])), [
  'road.xodr: error: the file holds 2 roads that are not one chain: 7, 8 [xodr/roads]',
  'help: name those of the stage in the order of travel: `roads: [7, 8]` in the stage file',
]);

refuses(
  'roads that the file does not have',
  { ...stage('roads: [71, 8]\n'), 'road.xodr': openDrive(road('7', [line]), road('9', [line])) },
  [
    'stage.yaml:3:9: error: the file has no road 71 [xodr/roads]',
    '',
    '  3 | roads: [71, 8]',
    '    |         ^^',
    'help: its roads are 7, 9',
    '',
    'stage.yaml:3:13: error: the file has no road 8 [xodr/roads]',
    '',
    '  3 | roads: [71, 8]',
    '    |             ^',
    'help: its roads are 7, 9',
  ],
);

refuses(
  'roads that do not meet',
  {
    ...stage('roads: [7, 8]\n'),
    'road.xodr': openDrive(road('7', [line]), road('8', [piece(0, [90, 0, 0], 50, '<line/>')])),
  },
  [
    'stage.yaml:3:12: error: the roads 7 and 8 do not meet end to end [xodr/roads]',
    '',
    '  3 | roads: [7, 8]',
    '    |            ^',
    'help: name every road of the stage in the order of travel, those inside junctions too',
  ],
);

refuses(
  'keys of the stage that do not go with such a file',
  {
    ...stage('closed: true\ncolumns: {x: x_m}\n'),
    'road.xodr': openDrive(road('7', [line])),
  },
  [
    'stage.yaml:3:9: error: `closed: true` needs a points table; road.xodr is an OpenDRIVE file [road/closed]',
    '',
    '  3 | closed: true',
    '    |         ^^^^',
    'help: leave `closed` out: the stage then runs from the start of the first road to the end of the last',
    '',
    'stage.yaml:4:11: error: `columns` renames columns of a table; road.xodr is an OpenDRIVE file [road/columns]',
    '',
    '  4 | columns: {x: x_m}',
    '    |           ^',
    'help: leave `columns` out',
  ],
);

refuses('roads of a table', { 'stage.yaml': `${goodFiles['stage.yaml']}roads: [7]\n` }, [
  'stage.yaml:8:9: error: `roads` names roads of an OpenDRIVE file; road.csv is a table [road/roads]',
  '',
  '  8 | roads: [7]',
  '    |         ^',
  'help: leave `roads` out',
]);

warns(
  'records that do not meet in grade',
  xodr(
    road(
      '7',
      [line],
      '<elevationProfile><elevation s="0" a="0" b="0.02" c="0" d="0"/><elevation s="20" a="0.4" b="-0.01" c="0" d="0"/></elevationProfile>',
    ),
  ),
  [
    'road.xodr: warning: the grade jumps by up to 3.0 %, most 0.020 km from the start [xodr/grade]',
    'help: it is rounded over the two metres round it; elevation records should meet in height and grade',
  ],
);
