/** The same line in each of the forms that it may come in. */
import { describe, expect, it, test } from 'vitest';
import { Faults } from '../../../src/input/faults.ts';
import { memoryFiles } from '../../../src/input/file-access.ts';
import { readRecordings } from '../../../src/track/survey/read-recordings.ts';
import type { Recording } from '../../../src/track/survey/recording.ts';

function read(file: string, text: string): Recording[] {
  const faults = new Faults();
  const recordings = readRecordings(file, memoryFiles({ [file]: text }), faults);
  expect(faults.all()).toEqual([]);
  return recordings;
}

/** The columns as lists, for comparison; a height or time that was not recorded is null. */
const plain = (r: Recording) => ({
  name: r.name,
  what: r.what,
  degrees: r.degrees,
  east: [...r.east],
  north: [...r.north],
  height: Array.from(r.height, (z) => (Number.isNaN(z) ? null : z)),
  time: Array.from(r.time, (t) => (Number.isNaN(t) ? null : t)),
  begins: [...r.begins],
});

const line = {
  name: 'Lane',
  degrees: true,
  east: [-30, -30.001, -30.002],
  north: [47, 47.001, 47.002],
  height: [210.5, null, 212],
  time: [null, null, null],
  begins: [1, 0, 0],
};

describe('GPX', () => {
  it.each([
    ['1.1', 'http://www.topografix.com/GPX/1/1'],
    ['1.0', 'http://www.topografix.com/GPX/1/0'],
  ])('%s: segments, heights, times; what others put between them is passed over', (version, namespace) => {
    const text = `<?xml version="1.0" encoding="UTF-8"?>
<gpx version="${version}" xmlns="${namespace}" xmlns:x="http://example.com/x">
  <wpt lat="1" lon="2"><ele>9</ele></wpt>
  <trk>
    <name>Lane &amp; <![CDATA[moor]]></name>
    <trkseg>
      <trkpt lon="-30.0" lat='47.0'><ele>210.5</ele><time>2026-05-01T09:30:00Z</time>
        <extensions><x:ele>999</x:ele><ele>998</ele></extensions></trkpt>
      <trkpt lat="47.001" lon="-30.001"><ele/><time>2026-05-01T11:30:00.5+02:00</time></trkpt>
    </trkseg>
    <trkseg></trkseg>
    <trkseg><trkpt lat="47.002" lon="-30.002"><ele>212</ele><time>2026-05-01T09:30:02</time></trkpt></trkseg>
  </trk>
</gpx>`;
    const start = Date.UTC(2026, 4, 1, 9, 30) / 1000;
    expect(read('a.gpx', text).map(plain)).toEqual([
      {
        ...line,
        name: 'Lane & moor',
        what: 'track',
        time: [start, start + 0.5, start + 2],
        begins: [1, 0, 1],
      },
    ]);
  });

  test('routes, tracks of their own names, tracks of less than two points left out, a prefix for all names', () => {
    const text = `<g:gpx xmlns:g="http://www.topografix.com/GPX/1/1">
<g:rte><g:name>Plan</g:name><g:rtept lat="47" lon="-30"/><g:rtept lat="47.1" lon="-30"/></g:rte>
<g:trk><g:name>Empty</g:name></g:trk>
<g:trk><g:trkseg><g:trkpt lat="47" lon="-30"/><g:trkpt lat="47.1" lon="-30"/></g:trkseg></g:trk></g:gpx>`;
    const found = read('a.gpx', text);
    expect(found.map(({ name, what }) => [name, what])).toEqual([
      ['Plan', 'route'],
      ['', 'track'],
    ]);
    expect(found.map(({ place }) => place.line)).toEqual([2, 4]);
  });

  test('heights that stand for none are taken as not recorded, and counted', () => {
    const points = [-9999, 32768, 20].map((z, i) => `<trkpt lat="47.${i}" lon="-30"><ele>${z}</ele></trkpt>`);
    const [found] = read('a.gpx', `<gpx><trk><trkseg>${points.join('')}</trkseg></trk></gpx>`);
    expect(plain(found).height).toEqual([null, null, 20]);
    expect(found.remarks).toEqual(['2 heights beyond -1000 to 10000 m taken as not recorded.']);
  });
});

describe('GeoJSON', () => {
  const coordinates = '[[-30, 47, 210.5], [-30.001, 47.001], [-30.002, 47.002, 212]]';
  const geometry = `{"type": "LineString", "coordinates": ${coordinates}}`;
  const feature = `{"type": "Feature", "properties": {"name": "Lane"}, "geometry": ${geometry}}`;

  it.each([
    ['a bare line', geometry, ''],
    ['a feature', feature, 'Lane'],
    ['a collection', `{"type": "FeatureCollection", "features": [${feature}]}`, 'Lane'],
    ['a collection of geometries', `{"type": "GeometryCollection", "geometries": [${geometry}]}`, ''],
  ])('%s', (_, text, name) => {
    expect(read('a.geojson', text).map(plain)).toEqual([{ ...line, name, what: 'line' }]);
  });

  test('the parts of a MultiLineString are parts of one line; what is no line is named', () => {
    const lines = '[[[-30, 47, 210.5], [-30.001, 47.001]], [[-30.002, 47.002, 212], [-30.003, 47.003]]]';
    const text = `{"type": "FeatureCollection", "features": [
{"type": "Feature", "properties": null, "geometry": {"type": "Point", "coordinates": [1, 2]}},
{"type": "Feature", "properties": null, "geometry": null},
{"type": "Feature", "properties": null, "geometry": {"type": "MultiLineString", "coordinates": ${lines}}}]}`;
    const [found] = read('a.json', text);
    expect(plain(found).begins).toEqual([1, 0, 1, 0]);
    expect(found.place.line).toBe(4);
    expect(found.remarks).toEqual(['Not read, since they are no lines: 1 Point.']);
  });
});

describe('CSV', () => {
  it.each([
    'lat,lon,height\n47,-30,210.5\n47.001,-30.001,\n47.002,-30.002,212\n',
    '# lon_deg,lat_deg,z_m\n-30,47,210.5\n-30.001,47.001,nan\n-30.002,47.002,212\n',
    'Longitude,Latitude,Elevation\r\n-30,47,210.5\r\n-30.001,47.001,-9999\r\n-30.002,47.002,212\r\n',
  ])('degrees: %j', (text) => {
    expect(read('a.csv', text).map(plain)).toEqual([{ ...line, name: '', what: 'table' }]);
  });

  test('metres, with time and width; columns that mean nothing here are named', () => {
    const [found] = read('a.csv', 'x_m,y_m,time_s,width_m,satellites\n0,0,5,3.5,9\n10,2,6,3.6,9\n');
    expect(plain(found)).toMatchObject({ degrees: false, east: [0, 10], north: [0, 2], time: [5, 6] });
    expect([...found.width!]).toEqual([3.5, 3.6]);
    expect(found.remarks).toEqual(['Columns not read: satellites.']);
  });
});
