/** Every fault of an input is told with its place, what was read, what was expected and what to write: whole texts. */
import { expect, test } from 'vitest';
import { Faults } from '../../../src/input/faults.ts';
import { memoryFiles } from '../../../src/input/file-access.ts';
import { renderDiagnostic } from '../../../src/input/render-diagnostic.ts';
import { readRecordings } from '../../../src/track/survey/read-recordings.ts';

const gpx = (body: string) =>
  `<?xml version="1.0"?>\n<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1">\n${body}\n</gpx>\n`;
const trk = (...points: string[]) => gpx(`<trk><trkseg>\n${points.join('\n')}\n</trkseg></trk>`);
const ok = '<trkpt lat="47.0" lon="-30.0"/>';

/** Tests that a file is refused with exactly these lines, carets included. */
function refuses(name: string, file: string, text: string, lines: readonly string[]): void {
  test(name, () => {
    const faults = new Faults();
    readRecordings(file, memoryFiles({ [file]: text }), faults);
    const said = faults.all().map(renderDiagnostic).join('\n');
    expect(said.split('\n').slice(0, -1)).toEqual(lines);
    expect(faults.failed).toBe(true);
  });
}

refuses('another outermost element', 'a.gpx', '<kml>\n</kml>\n', [
  'a.gpx:1:2: error: the outermost element is <kml>, expected <gpx> [gpx/root]',
  '',
  '  1 | <kml>',
  '    |  ^^^',
  'help: export the track as GPX; GeoJSON and CSV are read too',
]);

refuses('an element closed by another', 'a.gpx', trk(ok, '<trkpt lat="47.1" lon="-30.0"></trkseg>'), [
  'a.gpx:5:31: error: <trkpt> is not closed before this [xml/syntax]',
  '',
  '  5 | <trkpt lat="47.1" lon="-30.0"></trkseg>',
  '    |                               ^^^^^^^^^',
  'help: write </trkpt> before it',
]);

refuses('a file cut off', 'a.gpx', trk(ok, ok).slice(0, 150), [
  'a.gpx:5:20: error: the file ends inside <trkseg> [xml/syntax]',
  '',
  '  5 | <trkpt lat="47.0" lo',
  '    |                    ^',
  'help: it was cut off: copy it again from where it came from',
]);

refuses('an entity of HTML', 'a.gpx', gpx('<trk><name>Caf&eacute;</name></trk>'), [
  'a.gpx:3:15: error: this stands for nothing in XML [xml/syntax]',
  '',
  '  3 | <trk><name>Caf&eacute;</name></trk>',
  '    |               ^^^^^^^^',
  'help: write `&amp;` where & itself is meant; only &amp; &lt; &gt; &quot; &apos; and numbers such as &#233; are read',
]);

refuses('a bare &', 'a.gpx', gpx('<trk><name>Up & down</name></trk>'), [
  'a.gpx:3:15: error: this stands for nothing in XML [xml/syntax]',
  '',
  '  3 | <trk><name>Up & down</name></trk>',
  '    |               ^',
  'help: write `&amp;` where & itself is meant; only &amp; &lt; &gt; &quot; &apos; and numbers such as &#233; are read',
]);

refuses(
  'a bomb of entities',
  'a.gpx',
  trk(ok).replace(
    '?>',
    '?>\n<!DOCTYPE gpx [\n<!ENTITY a "aaaaaaaaaa">\n<!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">\n]>',
  ),
  [
    'a.gpx:2:1: error: there is a document type declaration (`<!DOCTYPE`) here, expected none [xml/doctype]',
    '',
    '  2 | <!DOCTYPE gpx [',
    '    | ^^^^^^^^^^^^^^^',
    'help: leave it out; entities that it declares are not read, and nothing is fetched',
  ],
);

refuses('an external entity', 'a.gpx', trk(ok).replace('?>', '?>\n<!DOCTYPE gpx SYSTEM "file:secret.txt">'), [
  'a.gpx:2:1: error: there is a document type declaration (`<!DOCTYPE`) here, expected none [xml/doctype]',
  '',
  '  2 | <!DOCTYPE gpx SYSTEM "file:secret.txt">',
  '    | ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^',
  'help: leave it out; entities that it declares are not read, and nothing is fetched',
]);

refuses('no closing quote', 'a.gpx', '<gpx version="1.1>\n<trk/>\n</gpx>\n', [
  'a.gpx:2:1: error: `<` may not stand here [xml/syntax]',
  '',
  '  2 | <trk/>',
  '    | ^',
  'help: close the quote or tag before it; write &lt; where < itself is meant',
]);

refuses('text after the end', 'a.gpx', `${trk(ok, ok)}and more\n`, [
  'a.gpx:8:1: error: there is text outside the outermost element [xml/syntax]',
  '',
  '  8 | and more',
  '    | ^^^^^^^^',
  'help: leave it out',
]);

refuses('a point without lon', 'a.gpx', trk(ok, '<trkpt lat="47.1"/>'), [
  'a.gpx:5:2: error: the point has no lon; expected a longitude of -180 to 180 degrees [gpx/position]',
  '',
  '  5 | <trkpt lat="47.1"/>',
  '    |  ^^^^^',
  'help: every trkpt and rtept has lat="…" and lon="…" in decimal degrees',
]);

refuses('a latitude beyond the pole', 'a.gpx', trk(ok, '<trkpt lat="147.1" lon="-30"/>'), [
  'a.gpx:5:13: error: lat is 147.1; expected a latitude of -90 to 90 degrees [gpx/position]',
  '',
  '  5 | <trkpt lat="147.1" lon="-30"/>',
  '    |             ^^^^^',
  'help: decimal degrees with a point, such as 46.52337, south and west negative',
]);

refuses('a decimal comma', 'a.gpx', trk(ok, '<trkpt lat="47,1" lon="-30.0"/>'), [
  'a.gpx:5:13: error: lat is 47,1; expected a latitude of -90 to 90 degrees [gpx/position]',
  '',
  '  5 | <trkpt lat="47,1" lon="-30.0"/>',
  '    |             ^^^^',
  'help: write 47.1',
]);

refuses(
  'an empty longitude and one in minutes',
  'a.gpx',
  trk('<trkpt lat="47.1" lon=""/>', `<trkpt lat="47.1" lon="30°12'W"/>`),
  [
    'a.gpx:4:24: error: lon is empty; expected a longitude of -180 to 180 degrees [gpx/position]',
    '',
    '  4 | <trkpt lat="47.1" lon=""/>',
    '    |                        ^',
    'help: decimal degrees with a point, such as 46.52337, south and west negative',
    '',
    "a.gpx:5:24: error: lon is 30°12'W; expected a longitude of -180 to 180 degrees [gpx/position]",
    '',
    '  5 | <trkpt lat="47.1" lon="30°12\'W"/>',
    '    |                        ^^^^^^^',
    'help: decimal degrees with a point, such as 46.52337, south and west negative',
  ],
);

refuses('a height with its unit', 'a.gpx', trk(ok, '<trkpt lat="47.1" lon="-30"><ele>431 m</ele></trkpt>'), [
  'a.gpx:5:34: error: ele is 431 m, expected a height in metres [gpx/ele]',
  '',
  '  5 | <trkpt lat="47.1" lon="-30"><ele>431 m</ele></trkpt>',
  '    |                                  ^^^^^',
  'help: a number such as 431.2; leave the element out where the height is not known',
]);

refuses('a time of the clock', 'a.gpx', trk(ok, '<trkpt lat="47.1" lon="-30"><time>9:30</time></trkpt>'), [
  'a.gpx:5:35: error: time is 9:30, expected a date and time [gpx/time]',
  '',
  '  5 | <trkpt lat="47.1" lon="-30"><time>9:30</time></trkpt>',
  '    |                                   ^^^^',
  'help: such as 2026-05-01T09:30:00Z; leave the element out where it is not known',
]);

refuses('way points only', 'a.gpx', gpx('<wpt lat="47.1" lon="-30"/>'), [
  'a.gpx: error: the file has no points of a track or a route [survey/empty]',
  'help: way points alone are no road: export the track itself (trk with trkseg and trkpt)',
]);

refuses(
  'one point a track',
  'a.gpx',
  gpx(`<trk><trkseg>${ok}</trkseg></trk><trk><trkseg>${ok}</trkseg></trk>`),
  [
    'a.gpx: error: no track or route of the file has two points [survey/empty]',
    'help: way points alone are no road: export the track itself (trk with trkseg and trkpt)',
  ],
);

refuses('the same attribute twice', 'a.gpx', trk('<trkpt lat="47" lat="48" lon="-30"/>'), [
  'a.gpx:4:1: error: the attribute lat is written twice [xml/syntax]',
  '',
  '  4 | <trkpt lat="47" lat="48" lon="-30"/>',
  '    | ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^',
  'help: keep one of the two',
]);

refuses('a control character', 'a.gpx', gpx('<trk><name>a\u0007b</name></trk>'), [
  'a.gpx:3:13: error: this is no XML: disallowed character [xml/syntax]',
  '',
  '  3 | <trk><name>a\\x07b</name></trk>',
  '    |             ^^^^',
  'help: export the file again, or copy it again from where it came from',
]);

refuses(
  'a comma too few',
  'a.geojson',
  '{"type": "LineString",\n "coordinates": [[-30.0, 47.0] [-30.1, 47.1]]}\n',
  [
    'a.geojson:2:32: error: a comma is missing here [json/syntax]',
    '',
    '  2 |  "coordinates": [[-30.0, 47.0] [-30.1, 47.1]]}',
    '    |                                ^',
    'help: put commas between the items',
  ],
);

refuses(
  'a decimal comma between digits',
  'a.geojson',
  '{"type": "LineString",\n "coordinates": [[-30, 47], [-30,1, 47,1]]}\n',
  [
    'a.geojson:2:29: error: the position has 4 numbers, expected [longitude, latitude] or [longitude, latitude, height] [geojson/position]',
    '',
    '  2 |  "coordinates": [[-30, 47], [-30,1, 47,1]]}',
    '    |                             ^',
    'help: are there commas inside numbers? write 46.5, not 46,5',
  ],
);

refuses('JSON cut off', 'a.geojson', '{"type": "LineString",\n "coordinates": [[-30.0, 47.0],', [
  'a.geojson:2:31: error: the file ends before it is complete [json/syntax]',
  '',
  '  2 |  "coordinates": [[-30.0, 47.0],',
  '    |                               ^',
  'help: it was cut off: copy it again from where it came from',
]);

refuses(
  'latitude first',
  'a.geojson',
  '{"type": "LineString",\n "coordinates": [[47.0, -130.0], [47.1, -130.1]]}\n',
  [
    'a.geojson:2:18: error: the position is longitude 47, latitude -130; expected -180 to 180 and -90 to 90 degrees [geojson/position]',
    '',
    '  2 |  "coordinates": [[47.0, -130.0], [47.1, -130.1]]}',
    '    |                  ^',
    'help: are the two swapped? GeoJSON has the longitude first',
    '',
    'a.geojson:2:34: error: the position is longitude 47.1, latitude -130.1; expected -180 to 180 and -90 to 90 degrees [geojson/position]',
    '',
    '  2 |  "coordinates": [[47.0, -130.0], [47.1, -130.1]]}',
    '    |                                  ^',
    'help: are the two swapped? GeoJSON has the longitude first',
  ],
);

refuses(
  'metres',
  'a.geojson',
  '{"type": "LineString",\n "coordinates": [[612000.0, 5212000.0], [612010.0, 5212010.0]]}\n',
  [
    'a.geojson:2:18: error: the position is longitude 612000, latitude 5212000; expected -180 to 180 and -90 to 90 degrees [geojson/position]',
    '',
    '  2 |  "coordinates": [[612000.0, 5212000.0], [612010.0, 5212010.0]]}',
    '    |                  ^',
    'help: are these metres of a plane? such points are read from a CSV with x_m and y_m',
    '',
    'a.geojson:2:41: error: the position is longitude 612010, latitude 5212010; expected -180 to 180 and -90 to 90 degrees [geojson/position]',
    '',
    '  2 |  "coordinates": [[612000.0, 5212000.0], [612010.0, 5212010.0]]}',
    '    |                                         ^',
    'help: are these metres of a plane? such points are read from a CSV with x_m and y_m',
  ],
);

refuses(
  'a position of texts',
  'a.geojson',
  '{"type": "LineString",\n "coordinates": [["7.2", "46.5"], [7.3, 46.5]]}\n',
  [
    'a.geojson:2:18: error: the position is ["7.2","46.5"], expected [longitude, latitude] or [longitude, latitude, height] [geojson/position]',
    '',
    '  2 |  "coordinates": [["7.2", "46.5"], [7.3, 46.5]]}',
    '    |                  ^',
    'help: numbers in degrees and metres; leave the height out where it is not known',
  ],
);

refuses(
  'a line of one position',
  'a.geojson',
  '{"type": "Feature", "properties": {}, "geometry":\n {"type": "LineString", "coordinates": [[7.3, 46.5]]}}\n',
  [
    'a.geojson:2:40: error: the line has one position, expected a list of two positions or more [geojson/line]',
    '',
    '  2 |  {"type": "LineString", "coordinates": [[7.3, 46.5]]}}',
    '    |                                        ^',
    'help: such as [[7.21, 46.52], [7.22, 46.53]], longitude first',
  ],
);

refuses(
  'another system of coordinates',
  'a.geojson',
  '{"type": "FeatureCollection",\n "crs": {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::25832"}},\n "features": []}\n',
  [
    'a.geojson:2:49: error: the positions are in urn:ogc:def:crs:EPSG::25832, expected longitude and latitude on WGS 84 [geojson/crs]',
    '',
    '  2 |  "crs": {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::25832"}},',
    '    |                                                 ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^',
    'help: export the line again in EPSG:4326, or in metres of a plane as a CSV with x_m and y_m',
  ],
);

refuses('an unknown type', 'a.geojson', '{"type": "Linestring", "coordinates": []}\n', [
  'a.geojson:1:10: error: the type is Linestring, expected a type of GeoJSON [geojson/type]',
  '',
  '  1 | {"type": "Linestring", "coordinates": []}',
  '    |          ^^^^^^^^^^^^',
  'help: LineString and MultiLineString are read, in Feature, FeatureCollection and GeometryCollection',
]);

refuses(
  'places only',
  'a.geojson',
  '{"type": "FeatureCollection", "features": [\n{"type": "Feature", "properties": {}, "geometry": {"type": "Point", "coordinates": [7, 46]}}]}\n',
  [
    'a.geojson: error: the file has no line, only 1 Point [survey/empty]',
    'help: a road is a LineString or a MultiLineString',
  ],
);

refuses(
  'features that are none',
  'a.geojson',
  '{"type": "FeatureCollection", "features": [\n{"type": "LineString", "coordinates": []}]}\n',
  [
    'a.geojson:2:1: error: this is no Feature [geojson/type]',
    '',
    '  2 | {"type": "LineString", "coordinates": []}]}',
    '    | ^',
    'help: write {"type": "Feature", "properties": {}, "geometry": { … }}',
  ],
);

refuses('semicolons', 'a.csv', 'lat;lon\n47,1;-30,2\n', [
  'a.csv:1:1: error: the cells are separated by semicolons, expected commas [table/separator]',
  '',
  '  1 | lat;lon',
  '    | ^^^^^^^',
  'help: save the table again as CSV with commas between cells and decimal points in numbers (0.5, not 0,5)',
]);

refuses('no header', 'a.csv', '47.1,-30.2\n47.2,-30.2\n', [
  'a.csv:1:1: error: the first line holds numbers, expected the names of the columns [table/header]',
  '',
  '  1 | 47.1,-30.2',
  '    | ^^^^^^^^^^',
  'help: put a line such as lat_deg,lon_deg,z_m (degrees) or x_m,y_m,z_m (metres) above it',
]);

refuses('no longitude', 'a.csv', 'lat,height\n47.1,12\n', [
  'a.csv:1:1: error: the column lon_deg is missing [table/column]',
  '',
  '  1 | lat,height',
  '    | ^^^^^^^^^^',
  'help: positions are lat_deg and lon_deg in degrees on WGS 84, or x_m and y_m in metres of a plane; z_m (height), time_s and width_m may be given',
]);

refuses('no positions', 'a.csv', 'time,speed\n1,2\n', [
  'a.csv:1:1: error: the header names no positions [table/column]',
  '',
  '  1 | time,speed',
  '    | ^^^^^^^^^^',
  'help: positions are lat_deg and lon_deg in degrees on WGS 84, or x_m and y_m in metres of a plane; z_m (height), time_s and width_m may be given',
]);

refuses('a slip in a name', 'a.csv', 'lat,lon,heigth\n47.1,-30.2,12\n', [
  'a.csv:1:9: error: heigth is not a column of positions [table/column]',
  '',
  '  1 | lat,lon,heigth',
  '    |         ^^^^^^',
  'help: did you mean height? If not, rename the column: others are left out',
]);

refuses('a column twice', 'a.csv', 'lat,latitude,lon\n47.1,47.1,-30.2\n', [
  'a.csv:1:5: error: lat and latitude both stand for lat_deg [table/column]',
  '',
  '  1 | lat,latitude,lon',
  '    |     ^^^^^^^^',
  'help: leave one of them out',
]);

refuses('degrees and metres', 'a.csv', 'lat,lon,x_m,y_m\n47.1,-30.2,0,0\n', [
  'a.csv:1:1: error: the header names both degrees and metres [table/column]',
  '',
  '  1 | lat,lon,x_m,y_m',
  '    | ^^^^^^^^^^^^^^^',
  'help: leave lat_deg and lon_deg out, or x_m and y_m',
]);

refuses('a latitude out of range, an empty longitude', 'a.csv', 'lat,lon\n471,-30.2\n47.1,\n', [
  'a.csv:2:1: error: lat_deg is 471, expected -90 to 90 degrees [table/range]',
  '',
  '  2 | 471,-30.2',
  '    | ^^^',
  'help: decimal degrees on WGS 84, such as 46.52337, south negative',
  '',
  'a.csv:3:6: error: lon_deg is empty, expected -180 to 180 degrees [table/empty-cell]',
  '',
  '  3 | 47.1,',
  '    |      ^',
  'help: decimal degrees on WGS 84, such as 7.21234, west negative',
]);

refuses('one row', 'a.csv', 'lat,lon\n47.1,-30.2\n', [
  'a.csv:1:1: error: the table has one row [survey/empty]',
  '',
  '  1 | lat,lon',
  '    | ^^^^^^^',
  'help: write a row for each point, in the order of travel',
]);

refuses('bytes that are no text', 'a.gpx', 'PK\u0003\u0000\u0004', [
  'a.gpx: error: byte 4 is zero, so this is no text; expected a text file [file/binary]',
  'help: give the text file itself; a spreadsheet must first be saved as CSV',
]);
