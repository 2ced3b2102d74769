/** Tracks and routes of a GPX file, 1.0 or 1.1. Source: the GPX 1.1 schema (element trkpt, type wptType). */
import type { Place } from '../../input/diagnostic.ts';
import type { Faults } from '../../input/faults.ts';
import { shown } from '../../input/fields.ts';
import { type Source, wholeFile } from '../../input/source.ts';
import { walkXml, type XmlEvents, type XmlPlaces } from '../../input/xml.ts';
import { LATITUDE, LONGITUDE, MOST_POINTS, type Recording, RecordingBuilder } from './recording.ts';

const DECIMAL = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/;
const INSTANT = /^(\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(?:\.\d+)?)(Z|[+-]\d{2}:\d{2})?$/;

// After so many faults the rest is not read: it is the whole file that is wrong. No source.
const MOST_WRONG = 1000;
const STOP = new Error('too many faults');

/** Paths from the outermost element to points, and what they are points of. */
const POINTS: Readonly<Record<string, 'track' | 'route'>> = {
  'gpx/trk/trkseg/trkpt': 'track',
  'gpx/rte/rtept': 'route',
};

/** Reads the tracks and routes with their points. What is wrong is reported; tracks of less than two points are left out. */
export function readGpx(source: Source, faults: Faults): Recording[] {
  const { file } = source;
  const before = faults.errors;
  const recordings: Recording[] = [];
  const path: string[] = [];
  let prefix = '';
  let builder = new RecordingBuilder();
  let name = '';
  let start: Place | null = null;
  let points = 0;
  let lat = Number.NaN;
  let lon = Number.NaN;
  let height = Number.NaN;
  let time = Number.NaN;

  let wrongs = 0;
  const wrong = (code: string, place: () => Place, message: string, help: string) => {
    if (++wrongs > MOST_WRONG) throw STOP;
    faults.error(code, faults.full(file, code) ? wholeFile(file) : place(), message, help);
  };

  const degrees = (given: string | undefined, key: 'lat' | 'lon', most: number, at: XmlPlaces): number => {
    const what = key === 'lat' ? 'a latitude' : 'a longitude';
    const range = `expected ${what} of -${most} to ${most} degrees`;
    if (given === undefined) {
      const help = 'every trkpt and rtept has lat="…" and lon="…" in decimal degrees';
      wrong('gpx/position', () => at.attribute(key), `the point has no ${key}; ${range}`, help);
      return Number.NaN;
    }
    const value = DECIMAL.test(given.trim()) ? Number(given) : Number.NaN;
    if (Math.abs(value) <= most) return value;
    wrong(
      'gpx/position',
      () => at.attribute(key),
      given.trim() === '' ? `${key} is empty; ${range}` : `${key} is ${shown(given)}; ${range}`,
      /^[+-]?\d+,\d+$/.test(given.trim())
        ? `write ${given.trim().replace(',', '.')}`
        : 'decimal degrees with a point, such as 46.52337, south and west negative',
    );
    return Number.NaN;
  };

  const events: XmlEvents = {
    open(tag, attributes, at) {
      if (path.length === 0) {
        const [, before, local] = /^(?:(.*):)?(.*)$/.exec(tag)!;
        if (local !== 'gpx') {
          wrong(
            'gpx/root',
            () => at.attribute(''),
            `the outermost element is <${shown(tag)}>, expected <gpx>`,
            'export the track as GPX; GeoJSON and CSV are read too',
          );
        }
        prefix = before === undefined ? '' : `${before}:`;
      }
      path.push(tag.startsWith(prefix) ? tag.slice(prefix.length) : `?${tag}`);
      const here = path.join('/');
      if (here === 'gpx/trk' || here === 'gpx/rte') {
        builder = new RecordingBuilder();
        name = '';
        start = at.tag();
      } else if (here === 'gpx/trk/trkseg') builder.beginPart();
      else if (Object.hasOwn(POINTS, here)) {
        if (points === MOST_POINTS) {
          wrong(
            'survey/points',
            () => at.tag(),
            `the file has more than ${MOST_POINTS} points`,
            'cut it to the road, or record fewer points a second',
          );
        }
        points++;
        lat = degrees(attributes['lat'], 'lat', LATITUDE, at);
        lon = degrees(attributes['lon'], 'lon', LONGITUDE, at);
        height = Number.NaN;
        time = Number.NaN;
      }
    },
    close(_, text, at) {
      const here = path.join('/');
      path.pop();
      const parent = path.join('/');
      const leaf = here.slice(parent.length + 1);
      if (Object.hasOwn(POINTS, parent)) {
        if (leaf === 'ele' && text !== '' && text !== 'NaN') {
          height = DECIMAL.test(text) ? Number(text) : Number.NaN;
          if (Number.isNaN(height))
            wrong(
              'gpx/ele',
              () => at.text(),
              `ele is ${shown(text)}, expected a height in metres`,
              'a number such as 431.2; leave the element out where the height is not known',
            );
        } else if (leaf === 'time' && text !== '') {
          time = instant(text);
          if (Number.isNaN(time))
            wrong(
              'gpx/time',
              () => at.text(),
              `time is ${shown(text)}, expected a date and time`,
              'such as 2026-05-01T09:30:00Z; leave the element out where it is not known',
            );
        }
      } else if (Object.hasOwn(POINTS, here)) {
        if (points <= MOST_POINTS && !Number.isNaN(lat) && !Number.isNaN(lon))
          builder.add(lon, lat, height, time);
      } else if ((here === 'gpx/trk/name' || here === 'gpx/rte/name') && name === '') name = text;
      else if ((here === 'gpx/trk' || here === 'gpx/rte') && builder.count >= 2) {
        const what = here === 'gpx/trk' ? 'track' : 'route';
        recordings.push(builder.build({ name, what, place: start!, degrees: true, width: null }));
      }
    },
  };
  let sound = false;
  try {
    sound = walkXml(source, events, faults);
  } catch (error) {
    if (error !== STOP) throw error;
  }
  if (sound && recordings.length === 0 && faults.errors === before) {
    wrong(
      'survey/empty',
      () => wholeFile(file),
      points === 0
        ? 'the file has no points of a track or a route'
        : 'no track or route of the file has two points',
      'way points alone are no road: export the track itself (trk with trkseg and trkpt)',
    );
  }
  return recordings;
}

/** Seconds since 1970 began; a time without a zone is taken as UTC, as the schema has it. NaN where it is no time. */
function instant(text: string): number {
  const found = INSTANT.exec(text);
  return found === null ? Number.NaN : Date.parse(`${found[1]}${found[2] ?? 'Z'}`) / 1000;
}
