/** From recordings to a fitted road: which of them, which way round, from where to where. */
import { escaped } from '../../input/render-diagnostic.ts';
import type { Georeference } from '../stage.ts';
import { fitRoad, type RoadFit } from './fit-road.ts';
import { toPlane } from './local-plane.ts';
import { layPasses, turned, turnedAlike } from './passes.ts';
import type { Recording } from './recording.ts';
import { groupByRoad, roughLength } from './same-road.ts';
import { SurveyError } from './survey-error.ts';
import { type Cut, trim } from './trim.ts';

/** A place as people write it: a distance from the start, or two coordinates of the input's kind. */
export type PlaceWish =
  | { readonly kind: 'distance'; readonly text: string; readonly distance: number } // [m]
  /** Latitude and longitude [deg], or x and y [m] where the input is in metres. */
  | { readonly kind: 'position'; readonly text: string; readonly pair: readonly [number, number] };

export interface SurveyOptions {
  /** Numbers of the recordings to take, from 1; null: all, if they follow one road. */
  readonly tracks: readonly number[] | null;
  readonly reverse: boolean;
  readonly from: PlaceWish | null;
  readonly to: PlaceWish | null;
  readonly surface: string;
}

export interface Surveyed {
  readonly fit: RoadFit;
  readonly georeference: Georeference | null; // null: the input is in metres of a plane of its own
  readonly used: readonly UsedRecording[];
  readonly remarks: readonly string[]; // what was not read, or left aside; one sentence each
}

export interface UsedRecording {
  readonly number: number; // from 1, over all inputs
  readonly recording: Recording;
  readonly turned: boolean; // its points were taken from the last to the first
}

/**
 * Fits the road that the recordings follow.
 * @throws SurveyError where they do not follow one road, or a wish cannot be fulfilled
 */
export function surveyRoad(recordings: readonly Recording[], options: SurveyOptions): Surveyed {
  const { numbers, leftAside } = choose(recordings, options.tracks);
  const chosen = numbers.map((number) => recordings[number - 1]);
  const { passes: laid, georeference } = layPasses(chosen);
  const alike = turnedAlike(laid);
  const passes = options.reverse ? alike.passes.map(turned) : alike.passes;
  const place = (wish: PlaceWish | null): Cut | null => {
    if (wish === null || wish.kind === 'distance') return wish;
    const [first, second] = wish.pair;
    if (georeference === null) return { kind: 'position', text: wish.text, x: first, y: second };
    const { x, y } = toPlane(georeference, Float64Array.of(second), Float64Array.of(first));
    return { kind: 'position', text: wish.text, x: x[0], y: y[0] };
  };
  const trimmed = trim(passes, place(options.from), place(options.to));
  const remarks = [...new Set(chosen.flatMap((r) => r.remarks)), ...leftAside];
  return {
    fit: fitted(trimmed, options.surface),
    georeference,
    used: numbers.map((number, k) => ({
      number,
      recording: recordings[number - 1],
      turned: alike.turned[k] !== options.reverse,
    })),
    remarks,
  };
}

function fitted(passes: Parameters<typeof fitRoad>[0], surface: string): RoadFit {
  try {
    return fitRoad(passes, { surface });
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new SurveyError(
      error.message,
      'a road needs at least four different points that lead from its start to its finish',
    );
  }
}

interface Choice {
  readonly numbers: readonly number[]; // from 1
  readonly leftAside: readonly string[];
}

function choose(recordings: readonly Recording[], wanted: readonly number[] | null): Choice {
  for (const number of wanted ?? []) {
    if (number >= 1 && number <= recordings.length) continue;
    const help = `choose ${recordings.length === 1 ? '1' : `1 to ${recordings.length}`}`;
    throw new SurveyError(`there is no track ${number}`, help, listed(recordings, null));
  }
  const all = recordings.map((_, k) => k + 1);
  const recorded = all.filter((number) => recordings[number - 1].what !== 'route');
  const planned = recorded.length > 0 ? all.filter((number) => !recorded.includes(number)) : [];
  const numbers = wanted ?? (recorded.length > 0 ? recorded : all);
  const chosen = numbers.map((number) => recordings[number - 1]);
  const metres = chosen.find((r) => !r.degrees);
  if (metres !== undefined && chosen.some((r) => r.degrees)) {
    throw new SurveyError(
      `${metres.place.file} has metres of a plane, other inputs have degrees`,
      'survey them one by one: where the plane lies is not known',
    );
  }
  const groups = chosen.length === 1 ? [0] : groupByRoad(layPasses(chosen).passes);
  const roads = Math.max(...groups) + 1;
  if (roads > 1) {
    const what = wanted === null ? 'the input holds' : 'these are';
    throw new SurveyError(
      `${what} ${chosen.length} tracks of ${roads} different roads`,
      'choose one with --track N; several passes of one road, --track N,M, are averaged',
      listed(chosen, groups, numbers),
    );
  }
  const leftAside =
    planned.length > 0 && wanted === null
      ? [
          `Left aside, since there are tracks: ${planned.length === 1 ? 'route' : 'routes'} ${planned.join(', ')} (choose with --track).`,
        ]
      : [];
  return { numbers, leftAside };
}

/** One line a recording: its number, name, length, points, where it stands and, where given, which road it follows. */
function listed(
  recordings: readonly Recording[],
  groups: readonly number[] | null,
  numbers: readonly number[] = recordings.map((_, k) => k + 1),
): string[] {
  const { passes } =
    recordings[0].degrees === recordings.at(-1)!.degrees
      ? layPasses(recordings)
      : { passes: recordings.map((r) => layPasses([r]).passes[0]) };
  const rows = recordings.map((r, k) => [
    String(numbers[k]),
    groups === null ? '' : `road ${String.fromCharCode(65 + (groups[k] % 26))}`,
    r.what,
    `${(roughLength(passes[k]) / 1000).toFixed(2)} km`,
    `${r.east.length} points`,
    `${escaped(r.place.file)}:${r.place.line}`,
    r.name === '' ? '' : `"${escaped(r.name.slice(0, 40))}"`,
  ]);
  const widths = rows[0].map((_, c) => Math.max(...rows.map((row) => row[c].length)));
  const right = new Set([0, 3, 4]);
  return rows.map((row) =>
    row
      .map((cell, c) => (right.has(c) ? cell.padStart(widths[c]) : cell.padEnd(widths[c])))
      .filter((_, c) => widths[c] > 0)
      .join('  ')
      .trimEnd(),
  );
}
