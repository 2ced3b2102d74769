/** The flags of `splitcast survey` as values. */
import { parseQuantity } from '../input/quantity.ts';
import type { PlaceWish } from '../track/survey/survey.ts';

export interface SurveyFlags {
  readonly out: string;
  readonly name?: string;
  readonly track?: string;
  readonly from?: string;
  readonly to?: string;
  readonly reverse?: true;
  readonly surface: string;
  readonly line: string;
  readonly width?: string;
  readonly preview?: string;
  readonly car?: string;
  readonly force?: true;
}

export interface ReadFlags {
  readonly tracks: readonly number[] | null;
  readonly from: PlaceWish | null;
  readonly to: PlaceWish | null;
  readonly surface: string;
  readonly line: 'centre' | 'smooth';
  readonly width: number | null; // [m]
  readonly preview: 'svg' | 'png' | null;
}

// Narrower than a car, wider than a square. No source.
const NARROWEST = 1.5;
const WIDEST = 50;

/** Reads all flags. @param say is told of each that is wrong: the flag as written, the fault, what to write */
export function readFlags(
  flags: SurveyFlags,
  say: (flag: string, fault: string, help: string) => void,
): ReadFlags {
  return {
    tracks: flags.track === undefined ? null : readTracks(flags.track, say),
    from: flags.from === undefined ? null : readPlace('--from', flags.from, say),
    to: flags.to === undefined ? null : readPlace('--to', flags.to, say),
    surface: readSurface(flags.surface, say),
    line: readLine(flags.line, say),
    width: flags.width === undefined ? null : readWidth(flags.width, say),
    preview: flags.preview === undefined ? null : readPreview(flags.preview, say),
  };
}

type Say = (flag: string, fault: string, help: string) => void;

function readTracks(text: string, say: Say): number[] | null {
  const numbers = text.split(',').map((part) => (/^\s*\d{1,6}\s*$/.test(part) ? Number(part) : Number.NaN));
  if (numbers.every((n) => n >= 1) && new Set(numbers).size === numbers.length) return numbers;
  say(
    `--track ${text}`,
    'expected a number, or several with commas between, each once',
    'write --track 2, or --track 2,3 to average two passes of one road',
  );
  return null;
}

function readPlace(flag: string, text: string, say: Say): PlaceWish | null {
  const pair = /^\s*([+-]?\d+(?:\.\d+)?)\s*,\s*([+-]?\d+(?:\.\d+)?)\s*$/.exec(text);
  if (pair !== null) return { kind: 'position', text, pair: [Number(pair[1]), Number(pair[2])] };
  try {
    return { kind: 'distance', text, distance: atLeastZero(parseQuantity(text, 'length', '1.2 km')) };
  } catch (error) {
    say(
      `${flag} ${text}`,
      (error as Error).message,
      `write a distance such as ${flag} 1.2km, or a position such as ${flag} 46.52337,7.21234 (latitude first)`,
    );
    return null;
  }
}

function atLeastZero(distance: number): number {
  if (distance >= 0) return distance;
  throw new RangeError('distances count from the first point, 0 or more');
}

function readSurface(text: string, say: Say): string {
  if (text.trim() === '' || text.length > 60 || /[\p{Cc}\p{Cf}]/u.test(text))
    say(`--surface ${text}`, 'expected the name of a surface', 'write --surface gravel');
  return text.trim();
}

function readLine(text: string, say: Say): 'centre' | 'smooth' {
  if (text === 'centre' || text === 'smooth') return text;
  say(
    `--line ${text}`,
    'expected centre or smooth',
    'centre follows the positions; smooth is a path within the width of the road',
  );
  return 'centre';
}

function readWidth(text: string, say: Say): number | null {
  try {
    const width = parseQuantity(text, 'length', '3.5 m');
    if (width >= NARROWEST && width <= WIDEST) return width;
    throw new RangeError(`expected ${NARROWEST} to ${WIDEST} m`);
  } catch (error) {
    say(
      `--width ${text}`,
      (error as Error).message,
      'write the width between the edges of the road, such as --width 3.5m',
    );
    return null;
  }
}

function readPreview(path: string, say: Say): 'svg' | 'png' | null {
  if (/\.svg$/i.test(path)) return 'svg';
  if (/\.png$/i.test(path)) return 'png';
  say(`--preview ${path}`, 'expected a file name that ends in .svg or .png', 'write --preview road.svg');
  return null;
}
