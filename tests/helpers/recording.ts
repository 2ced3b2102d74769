import type { Recording } from '../../src/track/survey/recording.ts';
import type { TrackPoint } from './made-track.ts';

/** Points of a made track as a reader gives them. */
export function recordingOf(points: readonly TrackPoint[]): Recording {
  return {
    name: '',
    what: 'track',
    place: { file: 'made.gpx', line: 1, col: 1, length: 1, source: '' },
    degrees: true,
    east: Float64Array.from(points, ({ lon }) => lon),
    north: Float64Array.from(points, ({ lat }) => lat),
    height: Float64Array.from(points, ({ ele }) => ele ?? Number.NaN),
    time: Float64Array.from(points, ({ time }) => Date.parse(time) / 1000),
    begins: Uint8Array.from(points, (_, i) => (i === 0 ? 1 : 0)),
    width: null,
    remarks: [],
  };
}
