/** Inputs made to cost time or memory are refused within bounds. */
import { closeSync, ftruncateSync, mkdtempSync, openSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it, test } from 'vitest';
import { nodeFiles } from '../../../src/cli/node-files.ts';
import { Faults } from '../../../src/input/faults.ts';
import { memoryFiles } from '../../../src/input/file-access.ts';
import { renderDiagnostic } from '../../../src/input/render-diagnostic.ts';
import { readRecordings } from '../../../src/track/survey/read-recordings.ts';

/** What is said of a text, and how long it took [s]. */
function refusal(file: string, text: string): { readonly said: string; readonly seconds: number } {
  const faults = new Faults();
  const begin = performance.now();
  readRecordings(file, memoryFiles({ [file]: text }), faults);
  const seconds = (performance.now() - begin) / 1000;
  expect(faults.failed).toBe(true);
  return { said: faults.all().map(renderDiagnostic).join('\n'), seconds };
}

/** The text over and over, up to 20 MB. */
const many = (text: string) => text.repeat(Math.floor(20e6 / text.length));

test('a file of 200 MB is refused by its size, without reading it', () => {
  const folder = mkdtempSync(join(tmpdir(), 'splitcast-'));
  try {
    const path = join(folder, 'a.gpx');
    const file = openSync(path, 'w');
    writeSync(file, '<gpx><trk><trkseg>');
    ftruncateSync(file, 200e6); // the rest is a hole: it takes no room on the disk
    closeSync(file);
    const faults = new Faults();
    const before = process.memoryUsage().rss;
    const begin = performance.now();
    expect(readRecordings(path, nodeFiles, faults)).toEqual([]);
    expect(performance.now() - begin).toBeLessThan(1000);
    expect(process.memoryUsage().rss - before).toBeLessThan(50e6);
    expect(faults.all().map(renderDiagnostic).join('')).toBe(
      `${path}: error: ${path} is larger than 64 MB, the most that is read for this kind of file [file/too-large]\nhelp: is it the right file?\n`,
    );
  } finally {
    rmSync(folder, { recursive: true });
  }
});

describe('20 MB of', () => {
  // The bound is loose, for a slow machine with other work: it is to tell linear from worse.
  const SECONDS = 30;

  it.each([
    [
      'entities that stand for each other',
      `<!DOCTYPE gpx [${many('<!ENTITY a "&b;&b;&b;&b;">')}]><gpx/>`,
      'xml/doctype',
    ],
    ['comments before a declaration', `${many('<!-- -->')}<!DOCTYPE gpx []><gpx/>`, 'xml/doctype'],
    ['elements in each other', many('<gpx>'), 'xml/depth'],
    ['attributes', `<gpx ${many('a="" ')}/>`, 'xml/attributes'],
    ['one name', `<${many('x')}/>`, 'gpx/root'],
    ['one value', `<gpx a="${many(' ')}`, 'xml/syntax'],
    ['characters by number', `<gpx>${many('&#x41;')}`, 'xml/syntax'],
    ['open tags', `<gpx>${many('<')}`, 'xml/syntax'],
    ['points without positions', `<gpx><trk><trkseg>${many('<trkpt/>')}`, 'gpx/position'],
  ])('%s', (_, text, code) => {
    const { said, seconds } = refusal('a.gpx', text);
    expect(said).toContain(`[${code}]`);
    expect(said.length).toBeLessThan(20_000);
    expect(seconds).toBeLessThan(SECONDS);
  });

  it.each([
    ['brackets', many('['), 'json/depth'],
    ['lists', `{"type": "LineString", "coordinates": [${many('[],')}[]]}`, 'geojson/position'],
    ['one text', `{"type": "${many('x')}"}`, 'geojson/type'],
    ['an open text', `{"type": "${many('x')}`, 'json/syntax'],
    ['features', `{"type": "FeatureCollection", "features": [${many('{},')}{}]}`, 'geojson/type'],
  ])('%s in JSON', (_, text, code) => {
    const { said, seconds } = refusal('a.geojson', text);
    expect(said).toContain(`[${code}]`);
    expect(said.length).toBeLessThan(20_000);
    expect(seconds).toBeLessThan(SECONDS);
  });

  test('rows of a table', () => {
    const { said, seconds } = refusal('a.csv', `lat,lon\n${many('1.5,2.5\n')}`);
    expect(said).toContain('a.csv:1:1: error: the table has more than 1000000 rows [survey/points]');
    expect(seconds).toBeLessThan(SECONDS);
  });
});
