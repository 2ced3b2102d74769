/** The commands that try set-ups: threads, records, shares, what is refused. The built package is run where threads matter. */
import { spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import { main } from '../../src/cli/main.ts';
import { eventFiles } from '../study/small-event.ts';

const folder = mkdtempSync(join(tmpdir(), 'splitcast-study-'));
afterAll(() => rmSync(folder, { recursive: true }));
for (const [name, text] of Object.entries(eventFiles)) writeFileSync(join(folder, name), text);
const event = join(folder, 'event.yaml');
const path = (name: string) => join(folder, name);
const text = (name: string) => readFileSync(path(name), 'utf8');

const bin = fileURLToPath(new URL('../../dist/cli.js', import.meta.url));
const built = existsSync(bin);
if (!built) console.log('left out: tests of threads, since dist/cli.js is not built (npm run build)');

/** Lines that a slow run writes every ten seconds: whether they come depends on the machine. */
const PROGRESS = /^\d+ (of \d+ )?set-ups, .* a second.*\n/gm;

async function run(...argv: string[]): Promise<{ status: number; out: string; err: string }> {
  let out = '';
  let err = '';
  const status = await main(argv, { out: (t) => (out += t), err: (t) => (err += t) });
  return { status, out, err: err.replaceAll(`${folder}/`, '').replaceAll(PROGRESS, '') };
}

function build(...argv: string[]): { status: number | null; out: string; err: string } {
  const { status, stdout, stderr } = spawnSync(process.execPath, [bin, ...argv], { encoding: 'utf8' });
  return { status, out: stdout, err: stderr };
}

const rank = ['rank', event, '--step', '2m', '--draws', '24'];

describe('what people see', () => {
  it.each([
    ['rank', [...rank, '--pairs']],
    [
      'vary',
      [
        'vary',
        event,
        '--step',
        '2m',
        '--over',
        'driveline.final_drive=3.5..5/0.5',
        '--over',
        'mass=1300kg..1400kg/50kg',
      ],
    ],
    ['choose', ['choose', event, '--step', '2m', '--loop', 'Late']],
  ])('%s fits 100 columns, says what it cannot see, and cautions', async (_, argv) => {
    const { status, out, err } = await run(...argv);
    expect(err).toBe('');
    expect(status).toBe(0);
    for (const line of out.split('\n')) expect([...line].length).toBeLessThanOrEqual(100);
    expect(out).toContain('Not seen: ');
    expect(out.trimEnd().split('\n').slice(-2).join(' ')).toContain(
      'Closed roads only. A forecast is a limit, not a target',
    );
    expect(await run(...argv)).toEqual({ status, out, err });
  });

  it('writes CSV and JSON of the same numbers', async () => {
    const { out } = await run(...rank, '--json', '--csv', path('rank.csv'));
    const data = JSON.parse(out) as { changes: { change: string; gain_s: number }[] };
    const rows = text('rank.csv')
      .trim()
      .split('\n')
      .slice(1)
      .map((row) => row.split(','));
    expect(rows.map((row) => [row[1], Number(row[3])])).toEqual(
      data.changes.map(({ change, gain_s }) => [change, gain_s]),
    );
  });

  it('shows hostile names as text, on the screen and in tables', async () => {
    const named = eventFiles['changes.yaml']
      .replace('change: Map', 'change: "=HYPERLINK(1)\\e[31m, \\"quoted\\""')
      .replace('cost: 600', '"cost\\e[2J": 1');
    writeFileSync(path('evil.yaml'), named);
    writeFileSync(
      path('evil-event.yaml'),
      eventFiles['event.yaml'].replace('changes.yaml', 'evil.yaml').replace('Kestrel day', '"Day \\e[0m"'),
    );
    const flags = ['--step', '2m', '--loop', 'Late', '--draws', '4', '--pairs', '--csv', path('evil.csv')];
    const { out, status } = await run('rank', path('evil-event.yaml'), ...flags);
    expect(status).toBe(0);
    expect(out).not.toContain('\u001b');
    expect(out).toContain('=HYPERLINK(1)\\x1b[31m');
    expect(text('evil.csv')).toContain(`,"'=HYPERLINK(1)\u001b[31m, ""quoted""",`);
  });

  it('draws a curve and a map', async () => {
    for (const over of [['mass=1300kg..1400kg/50kg'], ['mass=1300kg..1400kg/50kg', 'pace=0.9..1/0.05']]) {
      const { status } = await run(
        'vary',
        event,
        '--step',
        '2m',
        '--coarse',
        ...over.flatMap((o) => ['--over', o]),
        '--chart',
        path('chart.svg'),
      );
      expect(status).toBe(0);
      expect(text('chart.svg')).toMatch(/^<svg [\s\S]*seconds behind the best[\s\S]*<\/svg>\n$/);
    }
  });
});

describe('flags', () => {
  it.each([
    [
      [...rank, '--step', '3m'],
      '--step 3m: expected over 0 m and at most 2 m\nhelp: write a length with its unit, such as --step 0.5m\n',
    ],
    [[...rank, '--draws', 'many'], '--draws many: expected a whole number from 0 to 100000\n'],
    [[...rank, '--workers', '0'], '--workers 0: expected a whole number from 1 to 256\n'],
    [[...rank, '--resume'], '--resume: expected --save FILE with it, the record to go on with\n'],
    [
      [...rank, '--shard', '1/2'],
      '--shard: expected --save FILE with it, where the share goes for `splitcast merge`\n',
    ],
    [
      [...rank, '--shard', '3/2', '--save', path('x')],
      '--shard 3/2: expected k/n, share k of n, such as 1/4\n',
    ],
    [
      [...rank, '--loop', 'Latte'],
      '--loop Latte: error: the event has no loop Latte [event/loop]\nhelp: did you mean Late?\n\n1 fault, nothing timed\n',
    ],
    [[...rank, '--save', path('no/such/x')], 'no/such/x: cannot be written: ENOENT\n'],
    [[...rank, '--save', path('none'), '--resume'], 'none: cannot be read: ENOENT\n'],
    [
      [...rank, '--save', path('car.yaml'), '--resume'],
      'car.yaml: is no record of a study: its first line does not say so\nhelp: name a file that --save has written\n',
    ],
    [
      ['choose', event, '--exact-up-to', '1', '--starts', '2', '--shard', '1/3', '--save', path('x')],
      '--shard 1/3: a share of this search is some of its 2 starts, so there are at most 2 shares\nhelp: search from more places with --starts\n',
    ],
    [
      ['vary', event, '--over', 'mass'],
      '--over mass: there is no `=`\nhelp: write PATH=from..to/step, such as driveline.final_drive=4.2..5.0/0.1 or\n      mass=1300kg..1400kg/20kg, or single values, PATH=4.1,4.3,4.6\n',
    ],
    [
      ['vary', event, '--over', 'mass=1300..1400/20'],
      '--over mass: error: mass is 1300, which has no unit; expected a mass [unit/missing]\nhelp: write `mass: 1300 kg` (units: kg, also t, lb)\n\n1 fault, nothing timed\n',
    ],
    [
      ['vary', event, '--over', 'tyre.grip.gravle=0.5,0.6'],
      '--over tyre.grip.gravle: the car has no grip for gravle\nhelp: it has gravel, asphalt\n',
    ],
    [
      ['vary', event, '--over', 'driveline.final_driv=4,5'],
      '--over driveline.final_driv: error: driveline.final_driv is not a key here [key/unknown]\nhelp: did you mean final_drive?\n\n1 fault, nothing timed\n',
    ],
    [
      ['vary', event, '--over', 'pace=0.9..0.95/0.05', '--over', 'pace=1,1.1'],
      '--over pace: is given twice\n',
    ],
    [
      ['vary', event, '--over', 'pace=0.9..0.95/0.05', '--fineness', '2'],
      '--fineness 2: expected a share of the step, over 0 and at most 0.5\n',
    ],
    [['merge', path('x'), path('none')], 'none: cannot be read: ENOENT\n'],
  ])('%j', async (argv, expected) => {
    const { status, out, err } = await run(...argv);
    expect(err).toBe(expected);
    expect(out).toBe('');
    expect(status).toBe(2);
  });

  it('a car that cannot finish is no base to count from', async () => {
    writeFileSync(path('weak.csv'), 'engine_rpm,torque_Nm\n1000,5\n7500,6\n');
    writeFileSync(path('weak-car.yaml'), eventFiles['car.yaml'].replace('engine.csv', 'weak.csv'));
    writeFileSync(path('wall.csv'), 'length_m,radius_m,grade_pct,surface\n200,,0,gravel\n300,,20,gravel\n');
    writeFileSync(path('wall.yaml'), 'stage: Wall\nroad: wall.csv\n');
    writeFileSync(path('weak.yaml'), 'event: Weak\ncar: weak-car.yaml\nstages: [wall.yaml]\n');
    const { status, err } = await run('vary', path('weak.yaml'), '--over', 'pace=0.9,1');
    expect(err).toMatch(
      /^weak-car\.yaml: error: the car as it stands cannot finish Wall: it stops at 0\.\d+ km\nhelp: /,
    );
    expect(status).toBe(2);
  });

  it('an event without changes has nothing to rank or choose', async () => {
    writeFileSync(path('bare.yaml'), 'event: Bare\ncar: car.yaml\nstages: [lane.yaml]\n');
    expect((await run('rank', path('bare.yaml'))).err).toBe(
      'bare.yaml: there are no changes to rank\nhelp: write `changes: changes.yaml` into the event, with a list of changes in that file\n',
    );
    expect((await run('choose', path('bare.yaml'))).status).toBe(2);
  });
});

describe('a record', () => {
  it('is gone on with where a run was cut off, even in the middle of a line', async () => {
    const whole = await run(...rank, '--save', path('whole.jsonl'));
    const lines = text('whole.jsonl').split('\n');
    writeFileSync(path('cut.jsonl'), lines.slice(0, 40).join('\n').slice(0, -25));
    expect(await run(...rank, '--save', path('cut.jsonl'), '--resume')).toEqual(whole);
    expect(text('cut.jsonl')).toBe(text('whole.jsonl'));
  });

  it('is refused where the study is another', async () => {
    await run(...rank, '--save', path('old.jsonl'));
    const other = await run('rank', event, '--step', '1m', '--save', path('old.jsonl'), '--resume');
    expect(other.err).toBe(
      'old.jsonl: cannot be gone on with: the files of the event are others than they were, or --step, --loop, --seed\nhelp: begin anew with another file\n',
    );
    expect((await run(...rank, '--save', path('old.jsonl'))).err).toBe(
      'old.jsonl: is there already\nhelp: --resume goes on with it; to begin anew, remove it or name another file\n',
    );
    const pairs = await run(...rank, '--pairs', '--save', path('old.jsonl'), '--resume');
    expect(pairs.err).toContain('it is of `rank, 24 draws`, not of `rank, 24 draws, pairs`');
  });

  it('joins shares to the bytes of one run', async () => {
    const whole = await run(...rank, '--pairs', '--save', path('one.jsonl'));
    for (const k of [3, 1, 2]) {
      const share = await run(...rank, '--pairs', '--shard', `${k}/3`, '--save', path(`share-${k}.jsonl`));
      expect(share.out).toMatch(new RegExp(`^Share ${k} of 3: 4\\d of 130 set-ups`));
    }
    const few = await run('merge', path('merged.jsonl'), path('share-1.jsonl'), path('share-3.jsonl'));
    expect(few.err).toContain('of 130 set-ups 43 are missing, the first 2, 5, 8, 11, 14');
    expect(existsSync(path('merged.jsonl'))).toBe(false);
    const merged = await run(
      'merge',
      path('merged.jsonl'),
      ...[1, 2, 3].map((k) => path(`share-${k}.jsonl`)),
    );
    expect(merged.status).toBe(0);
    expect(text('merged.jsonl')).toBe(text('one.jsonl'));
    expect(await run(...rank, '--pairs', '--save', path('merged.jsonl'), '--resume')).toEqual(whole);
  });
});

describe('the record of a search', () => {
  const search = ['choose', event, '--step', '2m', '--exact-up-to', '1', '--starts', '3', '--patience', '2'];

  it('is gone on with where it was cut off, and ends as the same bytes', async () => {
    const whole = await run(...search, '--save', path('search.jsonl'));
    const lines = text('search.jsonl').split('\n');
    // Some lines from the middle, so that neither their places nor their turns are those of the search.
    writeFileSync(path('some.jsonl'), [lines[0], ...lines.slice(9, 21)].join('\n'));
    expect(await run(...search, '--save', path('some.jsonl'), '--resume')).toEqual(whole);
    expect(text('some.jsonl')).toBe(text('search.jsonl'));
  });

  it('joins shares of its starts, in any number, to the bytes of one run', async () => {
    const whole = await run(...search, '--save', path('unshared.jsonl'));
    for (const n of [2, 3]) {
      const shares = Array.from({ length: n }, (_, i) => path(`starts-${i + 1}-${n}.jsonl`));
      for (const [i, share] of shares.entries()) {
        const { out } = await run(...search, '--shard', `${i + 1}/${n}`, '--save', share);
        expect(out).toMatch(new RegExp(`^Share ${i + 1} of ${n}: \\d+ set-ups of a search, in `));
      }
      const joined = path(`starts-of-${n}.jsonl`);
      expect((await run('merge', joined, ...shares.toReversed())).status).toBe(0);
      const tried = shares.map((share) => readFileSync(share, 'utf8').split('\n').length);
      expect(readFileSync(joined, 'utf8').split('\n').length).toBeGreaterThan(Math.max(...tried));
      expect(await run(...search, '--save', joined, '--resume')).toEqual(whole);
      expect(readFileSync(joined, 'utf8')).toBe(text('unshared.jsonl'));
    }
  });
});

describe.skipIf(!built)('threads', () => {
  it('give the same bytes, however many there are', () => {
    const results = [1, 2, 3].map((n) => {
      const { status, out } = build(...rank, '--json', '--workers', String(n), '--save', path(`w${n}.jsonl`));
      expect(status).toBe(0);
      return { out, record: text(`w${n}.jsonl`) };
    });
    expect(results[1]).toEqual(results[0]);
    expect(results[2]).toEqual(results[0]);
  });

  it('report a draw that leaves the bounds of a value, where it is stated', () => {
    writeFileSync(path('wide.yaml'), eventFiles['event.yaml'].replace('[0.92, 0.98]', '[0.9, 1.4]'));
    const { status, err } = build(
      'rank',
      path('wide.yaml'),
      '--step',
      '2m',
      '--draws',
      '64',
      '--workers',
      '2',
    );
    expect(err).toMatch(
      /wide\.yaml:16:3: error: pace is 1\.[23]\d+, expected more than 0 and at most 1\.2 \[value\/range\]/,
    );
    expect(status).toBe(2);
  });

  it('stop at Ctrl-C, keep what was finished, and go on from there', { timeout: 120_000 }, async () => {
    const many = [
      'rank',
      event,
      '--step',
      '2m',
      '--draws',
      '600',
      '--workers',
      '2',
      '--save',
      path('stop.jsonl'),
    ];
    const child = spawn(process.execPath, [bin, ...many], { stdio: ['ignore', 'pipe', 'pipe'] });
    let err = '';
    child.stderr.on('data', (data: Buffer) => {
      err += data.toString();
    });
    const ended = new Promise<number | null>((resolve) => child.on('exit', resolve));
    // Stopped once some lines are there.
    while (!existsSync(path('stop.jsonl')) || text('stop.jsonl').split('\n').length < 20)
      await new Promise((resolve) => setTimeout(resolve, 20));
    child.kill('SIGINT');
    expect(await ended).toBe(130);
    expect(err).toMatch(
      /Stopped\. \d+ set-ups are kept in .*stop\.jsonl; the same command with --resume goes on\.\n$/,
    );
    const kept = text('stop.jsonl').trim().split('\n').length - 1;
    expect(kept).toBeLessThan(1255);
    const resumed = build(...many, '--resume');
    const whole = build(...many.slice(0, -1), path('anew.jsonl'));
    expect(resumed.status).toBe(0);
    expect(resumed.out).toBe(whole.out);
    expect(text('stop.jsonl')).toBe(text('anew.jsonl'));
  });
});
