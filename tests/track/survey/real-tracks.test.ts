/**
 * Real recordings, where they lie beside the repository: each becomes a stage that makes sense, or is refused with the
 * reason and what to do. What is asserted of single files stands in the description of the data.
 */
import { describe, expect, it, test } from 'vitest';
import { Faults } from '../../../src/input/faults.ts';
import { memoryFiles } from '../../../src/input/file-access.ts';
import { layPasses } from '../../../src/track/survey/passes.ts';
import { readRecordings } from '../../../src/track/survey/read-recordings.ts';
import type { Recording } from '../../../src/track/survey/recording.ts';
import { roughLength } from '../../../src/track/survey/same-road.ts';
import { type Surveyed, surveyRoad } from '../../../src/track/survey/survey.ts';
import { SurveyError } from '../../../src/track/survey/survey-error.ts';
import { writeStage } from '../../../src/track/survey/write-stage.ts';
import { sharedNames, sharedText } from '../../helpers/shared-data.ts';

const names = sharedNames('tracks/', '.gpx');

function read(name: string): Recording[] {
  const faults = new Faults();
  const recordings = readRecordings(name, memoryFiles({ [name]: sharedText(`tracks/${name}`)! }), faults);
  expect(faults.all()).toEqual([]);
  return recordings;
}

/** What a step gives; null where it is refused, with a reason and advice fit to read. */
function told<T>(step: () => T): T | null {
  try {
    return step();
  } catch (error) {
    if (!(error instanceof SurveyError)) throw error;
    fitToRead(error.message, error.help);
    return null;
  }
}

function fitToRead(reason: string, advice: string): void {
  expect(reason).toMatch(/\w+ \w+ \w+/);
  expect(reason).not.toMatch(/matrix|NaN|undefined|Infinity/);
  expect(advice).toMatch(/\w+ \w+ \w+/);
}

/** The road of one recording; null where it is refused. */
function surveyed(recordings: readonly Recording[], track: number): Surveyed | null {
  const options = { tracks: [track], reverse: false, from: null, to: null, surface: 'asphalt' };
  const found = told(() => surveyRoad(recordings, options));
  const refusal = found?.fit.refusal;
  if (refusal) fitToRead(refusal.reason, refusal.advice);
  return refusal ? null : found;
}

describe.skipIf(names.length === 0)('real tracks', () => {
  it.each(names)(
    '%s: every track becomes a stage that makes sense, or is refused with reason and advice',
    (name) => {
      const recordings = read(name);
      expect(recordings.length).toBeGreaterThan(0);
      for (let track = 1; track <= recordings.length; track++) {
        const found = surveyed(recordings, track);
        if (found === null) continue;
        const { fit, georeference } = found;
        const [pass] = layPasses([recordings[track - 1]]).passes;
        expect(fit.found.length).toBeGreaterThan(0.8 * roughLength(pass) - 50);
        expect(fit.found.length).toBeLessThan(1.1 * roughLength(pass) + 50);
        const files = { roadFile: 'road.csv', georeference, altitude: null, remarks: [] };
        const read = told(() => writeStage({ name, road: fit.table, ...files }).read);
        if (read !== null) expect(read.road.s.length).toBe(fit.table.s.length);
      }
    },
  );

  // From the description that lies beside the data.
  test('what their description says of them is found', () => {
    const tracks = Object.fromEntries(names.map((name) => [name, read(name)]));
    const parts = (r: Recording) => r.begins.reduce((sum, b) => sum + b, 0);
    const lacking = (r: Recording) => r.height.filter((z) => Number.isNaN(z)).length;
    const repeated = (r: Recording) =>
      r.east.reduce(
        (sum, x, i) => sum + (i > 0 && x === r.east[i - 1] && r.north[i] === r.north[i - 1] ? 1 : 0),
        0,
      );

    const [coast] = tracks['noelevation-1hz.gpx'];
    expect(lacking(coast)).toBe(coast.height.length);
    const [bad] = tracks['bad-elevation-noisy.gpx'];
    expect(repeated(bad)).toBe(1050);
    expect(Math.round(bad.height.reduce((least, z) => (z < least ? z : least), 0))).toBe(-355);
    const [runner] = tracks['gpsbabel-garmin-forerunner-10-output.gpx'];
    expect([parts(runner), lacking(runner)]).toEqual([7, runner.height.length]);
    const [wheel] = tracks['gpsbabel-wahoo-element-bolt.gpx'];
    expect([parts(wheel), lacking(wheel)]).toEqual([4, 1]);
    for (const name of ['gpxpy-route.gpx', 'gpsbabel-bend-input.gpx'])
      expect(tracks[name][0].what).toBe('route');
    expect(tracks['gpsbabel-garmin_xt_strk.gpx'].length).toBe(2);
    const walk = tracks['gpxpy-cerknicko-jezero.gpx'];
    const bare = tracks['gpxpy-cerknicko-jezero-without-elevations.gpx'];
    const timeless = tracks['gpxpy-cerknicko-without-times.gpx'];
    expect(bare.map((r) => [...r.east])).toEqual(walk.map((r) => [...r.east]));
    // A few points have kept their times.
    expect(timeless.flatMap((r) => [...r.time]).filter((t) => !Number.isNaN(t)).length).toBeLessThan(6);
    expect(bare.every((r) => lacking(r) === r.height.length)).toBe(true);
  });
});
