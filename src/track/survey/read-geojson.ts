/** Lines of a GeoJSON text. Source: RFC 7946 (positions are longitude, latitude, perhaps height; WGS 84). */
import type { Faults } from '../../input/faults.ts';
import { shown } from '../../input/fields.ts';
import { parseJson } from '../../input/json-file.ts';
import { type Source, wholeFile } from '../../input/source.ts';
import { LATITUDE, LONGITUDE, MOST_POINTS, type Recording, RecordingBuilder } from './recording.ts';

type Path = readonly (string | number)[];
type JsonObject = Readonly<Record<string, unknown>>;

const isObject = (value: unknown): value is JsonObject =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** Longitude and latitude on WGS 84 go by these names in the older form of GeoJSON, which had a member `crs`. */
const WGS84 = /CRS84|EPSG:{1,2}4326/i;

// After so many faults the rest is not read: it is the whole file that is wrong. No source.
const MOST_WRONG = 1000;
const STOP = new Error('too many faults');

/** Reads LineString and MultiLineString, bare, in features and in collections. Each is one recording. */
export function readGeojson(source: Source, faults: Faults): Recording[] {
  const json = parseJson(source, faults);
  if (json === null) return [];
  const recordings: { readonly path: Path; readonly builder: RecordingBuilder; readonly name: string }[] = [];
  const wrong: { code: string; path: Path; message: string; help: string }[] = [];
  const other = new Map<string, number>(); // geometries that are no lines
  let points = 0;
  const say = (code: string, path: Path, message: string, help: string) => {
    if (wrong.push({ code, path, message, help }) >= MOST_WRONG) throw STOP;
  };

  const takeLine = (value: unknown, path: Path, builder: RecordingBuilder): void => {
    if (!Array.isArray(value) || value.length < 2) {
      const what = Array.isArray(value)
        ? `has ${value.length === 0 ? 'no position' : 'one position'}`
        : `is ${shown(value)}`;
      say(
        'geojson/line',
        path,
        `the line ${what}, expected a list of two positions or more`,
        'such as [[7.21, 46.52], [7.22, 46.53]], longitude first',
      );
      return;
    }
    builder.beginPart();
    for (const [i, position] of value.entries()) {
      if (points++ >= MOST_POINTS) {
        say(
          'survey/points',
          path,
          `the file has more than ${MOST_POINTS} points`,
          'cut it to the road, or record fewer points a second',
        );
        return;
      }
      takePosition(position, [...path, i], builder);
    }
  };

  const takePosition = (position: unknown, path: Path, builder: RecordingBuilder): void => {
    const numbers = Array.isArray(position) ? position : null;
    if (numbers === null || numbers.length < 2 || numbers.some((x) => typeof x !== 'number')) {
      const read = numbers === null ? shown(position) : JSON.stringify(numbers).slice(0, 40);
      say(
        'geojson/position',
        path,
        `the position is ${read}, expected [longitude, latitude] or [longitude, latitude, height]`,
        'numbers in degrees and metres; leave the height out where it is not known',
      );
      return;
    }
    if (numbers.length > 3) {
      say(
        'geojson/position',
        path,
        `the position has ${numbers.length} numbers, expected [longitude, latitude] or [longitude, latitude, height]`,
        'are there commas inside numbers? write 46.5, not 46,5',
      );
      return;
    }
    const [lon, lat, height = Number.NaN] = numbers as number[];
    if (!(Math.abs(lat) <= LATITUDE && Math.abs(lon) <= LONGITUDE)) {
      const swapped = Math.abs(lat) <= LONGITUDE && Math.abs(lon) <= LATITUDE;
      say(
        'geojson/position',
        path,
        `the position is longitude ${lon}, latitude ${lat}; expected -${LONGITUDE} to ${LONGITUDE} and -${LATITUDE} to ${LATITUDE} degrees`,
        swapped
          ? 'are the two swapped? GeoJSON has the longitude first'
          : 'are these metres of a plane? such points are read from a CSV with x_m and y_m',
      );
      return;
    }
    builder.add(lon, lat, height, Number.NaN);
  };

  const takeGeometry = (value: unknown, path: Path, name: string): void => {
    if (!isObject(value)) {
      say(
        'geojson/type',
        path,
        `the geometry is ${shown(value)}, expected an object with a type`,
        'such as {"type": "LineString", "coordinates": [[7.21, 46.52], [7.22, 46.53]]}',
      );
      return;
    }
    const { type, coordinates } = value;
    if (type === 'GeometryCollection' && Array.isArray(value['geometries'])) {
      for (const [i, part] of value['geometries'].entries())
        takeGeometry(part, [...path, 'geometries', i], name);
    } else if (type === 'LineString' || type === 'MultiLineString') {
      const builder = new RecordingBuilder();
      const at = [...path, 'coordinates'];
      if (type === 'LineString') takeLine(coordinates, at, builder);
      else if (Array.isArray(coordinates))
        for (const [i, line] of coordinates.entries()) takeLine(line, [...at, i], builder);
      else
        say(
          'geojson/line',
          at,
          `coordinates is ${shown(coordinates)}, expected a list of lines`,
          'such as [[[7.21, 46.52], [7.22, 46.53]]]',
        );
      recordings.push({ path, builder, name });
    } else if (['Point', 'MultiPoint', 'Polygon', 'MultiPolygon'].includes(String(type))) {
      other.set(String(type), (other.get(String(type)) ?? 0) + 1);
    } else {
      say(
        'geojson/type',
        typeof type === 'string' ? [...path, 'type'] : path,
        `the type is ${shown(type)}, expected a type of GeoJSON`,
        'LineString and MultiLineString are read, in Feature, FeatureCollection and GeometryCollection',
      );
    }
  };

  const takeFeature = (feature: JsonObject, path: Path): void => {
    const { geometry, properties } = feature;
    const name = isObject(properties) ? properties['name'] : undefined;
    if (geometry !== null)
      takeGeometry(geometry, [...path, 'geometry'], typeof name === 'string' ? name : '');
  };

  const takeFile = (data: unknown): void => {
    const crs = isObject(data) ? data['crs'] : undefined;
    const crsName = isObject(crs) && isObject(crs['properties']) ? crs['properties']['name'] : undefined;
    if (typeof crsName === 'string' && !WGS84.test(crsName)) {
      say(
        'geojson/crs',
        ['crs', 'properties', 'name'],
        `the positions are in ${shown(crsName)}, expected longitude and latitude on WGS 84`,
        'export the line again in EPSG:4326, or in metres of a plane as a CSV with x_m and y_m',
      );
    } else if (isObject(data) && data['type'] === 'FeatureCollection') {
      const features = data['features'];
      if (!Array.isArray(features))
        say('geojson/type', [], 'the collection has no list of features', 'write "features": [ … ]');
      else
        for (const [i, feature] of features.entries()) {
          if (isObject(feature) && feature['type'] === 'Feature') takeFeature(feature, ['features', i]);
          else
            say(
              'geojson/type',
              ['features', i],
              'this is no Feature',
              'write {"type": "Feature", "properties": {}, "geometry": { … }}',
            );
        }
    } else if (isObject(data) && data['type'] === 'Feature') takeFeature(data, []);
    else takeGeometry(data, [], '');
  };

  try {
    takeFile(json.data);
  } catch (error) {
    if (error !== STOP) throw error;
  }
  const places = json.places([...wrong, ...recordings].map(({ path }) => path));
  for (const [i, { code, message, help }] of wrong.entries()) faults.error(code, places[i], message, help);
  const left = [...other].map(([type, count]) => `${count} ${type}`).join(', ');
  if (wrong.length === 0 && recordings.length === 0) {
    faults.error(
      'survey/empty',
      wholeFile(source.file),
      `the file has no line${left === '' ? '' : `, only ${left}`}`,
      'a road is a LineString or a MultiLineString',
    );
  }
  const remarks = left === '' ? [] : [`Not read, since they are no lines: ${left}.`];
  return recordings.map(({ builder, name }, i) =>
    builder.build(
      { name, what: 'line', place: places[wrong.length + i], degrees: true, width: null },
      i === 0 ? remarks : [],
    ),
  );
}
