import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { main } from '../../src/cli/main.ts';
import { scaleText } from '../helpers/notes.ts';

const folder = mkdtempSync(join(tmpdir(), 'splitcast-notes-'));
afterAll(() => rmSync(folder, { recursive: true }));
const at = (name: string) => join(folder, name);
writeFileSync(at('scale.yaml'), scaleText);
writeFileSync(
  at('calls.csv'),
  'distance_m,call\n100,left 4 long\n300,right hairpin\n420,crest\n800,finish\n',
);
writeFileSync(at('bad.csv'), 'distance_m,call\n100,left 9\n800,finish\n');

async function run(...argv: string[]) {
  let out = '';
  let err = '';
  const status = await main(argv, { out: (text) => (out += text), err: (text) => (err += text) });
  return { status, out: out.replaceAll(folder, 'F'), err: err.replaceAll(folder, 'F') };
}
const notes = (calls: string, out: string, ...more: string[]) =>
  run('notes', at(calls), '--scale', at('scale.yaml'), '--out', at(out), ...more);

test('the event’s own calls: files that read back clean, and a time that falls from tight to wide', async () => {
  const event = 'stages/tarvenmoor';
  const made = await run(
    'notes',
    `${event}/sallow-loop-calls.csv`,
    '--scale',
    `${event}/pace-note-scale.yaml`,
    '--out',
    at('sallow'),
  );
  expect(made.err).toBe('');
  expect(made.status).toBe(0);
  expect(readdirSync(at('sallow')).sort()).toEqual(['sallow-loop-calls.csv', 'sallow-loop-calls.yaml']);
  const stage = at('sallow/sallow-loop-calls.yaml');
  expect(await run('check', stage)).toEqual({
    status: 0,
    err: '',
    out: 'F/sallow/sallow-loop-calls.yaml: a stage, 5.200 km, 0 splits, gravel, asphalt\n',
  });
  const seconds = ['tight', 'middle', 'wide'].map((radii) => {
    const [, minutes, rest] = new RegExp(`^  ${radii} +(\\d+):([\\d.]+)$`, 'm').exec(made.out)!;
    return Number(minutes) * 60 + Number(rest);
  });
  expect(seconds[0]).toBeGreaterThan(seconds[1]);
  expect(seconds[1]).toBeGreaterThan(seconds[2]);
  // What was written is the road that was timed as the middle.
  const timed = await run('time', `${event}/car.yaml`, stage, '--json');
  expect(JSON.parse(timed.out).stages[0].time_s).toBeCloseTo(seconds[1], 1);
});

test('what it prints, and the radii that were asked for', async () => {
  const { status, out } = await notes(
    'calls.csv',
    'wide',
    '--radii',
    'wide',
    '--name',
    'Émile’s loop',
    '--surface',
    'gravel',
  );
  expect(status).toBe(0);
  const lines = out.split('\n');
  expect(lines.slice(0, 9)).toEqual([
    'Émile’s loop   0.80 km, 3 calls, 2 bends',
    '----------------------------------------',
    'Scale "Test" of F/scale.yaml: 1 is the tightest, 6 the gentlest.',
    'Radii of the files: the wide end of each range.',
    '',
    '  bend      calls   radius, m        taken, m   turn, deg',
    '  hairpin       1   6 to 12                12         165',
    '  4             1   60 to 100             100          45',
    '  crest: 1 called, 150 to 400 m in side view, 400 m taken, 60 m long',
  ]);
  expect(out).toContain('wrote F/wide/emile-s-loop.yaml, F/wide/emile-s-loop.csv');
});

test('files that are there stay as they are unless --force is given', async () => {
  await notes('calls.csv', 'twice');
  const before = readFileSync(at('twice/calls.csv'), 'utf8');
  const again = await notes('calls.csv', 'twice', '--radii', 'tight');
  expect(again).toEqual({
    status: 2,
    out: '',
    err: 'F/twice/calls.yaml, F/twice/calls.csv are there already\nhelp: add --force to write over it, or choose another --out or --name\nnothing written\n',
  });
  expect(readFileSync(at('twice/calls.csv'), 'utf8')).toBe(before);
  expect((await notes('calls.csv', 'twice', '--radii', 'tight', '--force')).status).toBe(0);
  expect(readFileSync(at('twice/calls.csv'), 'utf8')).not.toBe(before);
});

test('bad calls, a surface without grip and an unknown end are refused, and nothing is written', async () => {
  expect(await notes('bad.csv', 'bad')).toEqual({
    status: 2,
    out: '',
    err: [
      'F/bad.csv:2:10: error: the scale has no word 9 [notes/word]',
      '',
      '  2 | 100,left 9',
      '    |          ^',
      'help: words that change nothing belong into `ignore` of F/scale.yaml',
      '',
      '1 fault, nothing written',
      '',
    ].join('\n'),
  });
  const planks = await notes('calls.csv', 'bad', '--surface', 'planks');
  expect(planks.status).toBe(2);
  expect(planks.err).toMatch(/^error: the tyre of .* has no grip for the surface planks\n/);
  expect((await notes('calls.csv', 'bad', '--radii', 'narrow')).status).toBe(2);
  expect(existsSync(at('bad'))).toBe(false);
});
