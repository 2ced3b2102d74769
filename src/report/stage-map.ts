/** A stage and its splits as positions on WGS 84, and as the files that maps read: GPX 1.1 and GeoJSON (RFC 7946). */
import { escaped } from '../input/render-diagnostic.ts';
import type { Stage } from '../track/stage.ts';
import { fromPlane } from '../track/survey/local-plane.ts';
import { km } from './numbers.ts';

export interface MapPoint {
  readonly latitude: number; //  [deg]
  readonly longitude: number; // [deg]
  readonly height: number | null; // [m]
}

export interface StageMap {
  readonly name: string;
  readonly line: readonly MapPoint[];
  /** Start, splits and finish. */
  readonly marks: readonly (MapPoint & { readonly name: string; readonly at: number })[]; // at: station [m]
}

/** What is missing for a map, and what to do; null where nothing is. */
export function lackingForMap(stage: Stage): { readonly message: string; readonly help: string } | null {
  if (stage.road.xy === null)
    return {
      message: 'the road has no positions',
      help: 'a map needs the columns x_m and y_m in the road table; `splitcast survey` writes them',
    };
  if (stage.georeference === undefined)
    return {
      message: 'the stage does not say where on the earth its road lies',
      help: 'add where x_m = 0, y_m = 0 is, such as `georeference: {latitude: 46.123456 deg, longitude: 7.123456 deg}`',
    };
  return null;
}

/** @throws RangeError where `lackingForMap` says that something is missing */
export function stageMap(stage: Stage): StageMap {
  const lacking = lackingForMap(stage);
  const { xy, s, z } = stage.road;
  const { georeference } = stage;
  if (lacking !== null || xy === null || georeference === undefined) throw new RangeError(lacking?.message);
  const point = (x: number, y: number, height: number | null): MapPoint => ({
    ...fromPlane(georeference, x, y),
    height,
  });
  const at = (station: number): MapPoint => {
    let i = s.findIndex((next) => next >= station);
    if (i <= 0) i = i === 0 ? 1 : s.length - 1;
    const t = s[i] > s[i - 1] ? Math.min(1, (station - s[i - 1]) / (s[i] - s[i - 1])) : 0;
    const between = (values: Float64Array) => values[i - 1] + t * (values[i] - values[i - 1]);
    return point(between(xy.x), between(xy.y), z === null ? null : between(z));
  };
  const finish = s[s.length - 1];
  return {
    name: stage.name,
    line: Array.from(s, (_, i) => point(xy.x[i], xy.y[i], z?.[i] ?? null)).filter(
      (_, i) => i === 0 || s[i] > s[i - 1],
    ),
    marks: [
      { ...at(0), name: 'Start', at: 0 },
      ...stage.splits.map((split, k) => ({
        ...at(split),
        name: `Split ${k + 1}, km ${km(split, 3)}`,
        at: split,
      })),
      { ...at(finish), name: `Finish, km ${km(finish, 3)}`, at: finish },
    ],
  };
}

/** Seven decimals of a degree are about a centimetre. */
const degrees = (x: number) => Number(x.toFixed(7));

/** GPX 1.1: the road as a track, start, splits and finish as way points. */
export function* gpxOf({ name, line, marks }: StageMap): Generator<string> {
  const position = ({ latitude, longitude }: MapPoint) =>
    `lat="${degrees(latitude)}" lon="${degrees(longitude)}"`;
  const ele = ({ height }: MapPoint) => (height === null ? '' : `<ele>${height.toFixed(2)}</ele>`);
  yield '<?xml version="1.0" encoding="UTF-8"?>\n';
  yield '<gpx version="1.1" creator="splitcast" xmlns="http://www.topografix.com/GPX/1/1">\n';
  yield `  <metadata><name>${xmlText(name)}</name></metadata>\n`;
  for (const mark of marks)
    yield `  <wpt ${position(mark)}>${ele(mark)}<name>${xmlText(mark.name)}</name></wpt>\n`;
  yield `  <trk>\n    <name>${xmlText(name)}</name>\n    <trkseg>\n`;
  for (const at of line) yield `      <trkpt ${position(at)}>${ele(at)}</trkpt>\n`;
  yield '    </trkseg>\n  </trk>\n</gpx>\n';
}

/** GeoJSON: a FeatureCollection of the road as a LineString, and of start, splits and finish as Points. */
export function* geojsonOf({ name, line, marks }: StageMap): Generator<string> {
  const position = ({ latitude, longitude, height }: MapPoint) => {
    const plane = [degrees(longitude), degrees(latitude)];
    return JSON.stringify(height === null ? plane : [...plane, Number(height.toFixed(2))]);
  };
  yield '{"type": "FeatureCollection", "features": [\n';
  for (const mark of marks) {
    const properties = JSON.stringify({ name: mark.name, station_m: Number(mark.at.toFixed(3)) });
    yield `{"type": "Feature", "properties": ${properties}, "geometry": {"type": "Point", "coordinates": ${position(mark)}}},\n`;
  }
  yield `{"type": "Feature", "properties": ${JSON.stringify({ name })}, "geometry": {"type": "LineString", "coordinates": [\n`;
  for (const [i, at] of line.entries()) yield `${position(at)}${i + 1 < line.length ? ',' : ''}\n`;
  yield ']}}\n]}\n';
}

const XML: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };

/** Text for XML 1.0: control characters, which it forbids, are shown as codes. */
function xmlText(text: string): string {
  return escaped(text)
    .replace(/\p{Noncharacter_Code_Point}/gu, '?')
    .replace(/[&<>"]/g, (c) => XML[c]);
}
