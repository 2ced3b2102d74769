import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it, test } from 'vitest';
import { nodeFiles } from '../../src/cli/node-files.ts';
import { packageFile } from '../../src/cli/package-file.ts';
import { Faults } from '../../src/input/faults.ts';
import { Source } from '../../src/input/source.ts';
import { walkXml } from '../../src/input/xml.ts';
import { readStage } from '../../src/track/read-stage.ts';
import { toPlane } from '../../src/track/survey/local-plane.ts';
import { readRecordings } from '../../src/track/survey/read-recordings.ts';
import { AT_SEA, gpxText, recorded, wetherLane, wetherLaneGpx } from '../helpers/made-track.ts';
import { runCommand } from '../helpers/run-command.ts';

const folder = mkdtempSync(join(tmpdir(), 'splitcast-'));
afterAll(() => rmSync(folder, { recursive: true }));

const lane = packageFile('stages/wether-lane/recce.gpx');
const car = packageFile('stages/tarvenmoor/car.yaml');

const write = (name: string, text: string): string => {
  writeFileSync(join(folder, name), text);
  return join(folder, name);
};

async function run(...argv: string[]): Promise<{ out: string; err: string; status: number }> {
  const { out, err, status } = await runCommand(...argv);
  return { out, err: err.replaceAll(`${folder}/`, ''), status };
}

/** A road far from the lane, in the same file as it. */
const elsewhere = recorded(wetherLane, { ...AT_SEA, latitude: 47.2 }, { seed: 7, spacing: 5, noise: 0.2 });
const twoRoads = write(
  'two.gpx',
  gpxText([
    { name: 'Wether Lane', points: recorded(wetherLane, AT_SEA, { seed: 1, spacing: 5, noise: 0.2 }) },
    { name: 'Elsewhere', points: elsewhere },
  ]),
);

test('the tracks of the example are those that its generator makes', () => {
  expect(readFileSync(lane, 'utf8')).toBe(wetherLaneGpx());
});

describe('a survey', () => {
  test('writes a stage that reads back without a fault and can be timed', async () => {
    const made = await run('survey', lane, '--out', join(folder, 'a'), '--name', 'Wether Lane');
    expect(made.err).toBe('');
    expect(made.status).toBe(0);
    expect(readdirSync(join(folder, 'a'))).toEqual(['wether-lane.csv', 'wether-lane.yaml']);
    const stageFile = join(folder, 'a', 'wether-lane.yaml');
    const checked = await run('check', car, stageFile);
    expect(checked.out).toContain('a stage, ');
    expect(checked.out).not.toContain('warning');
    expect(checked.status).toBe(0);
    const timed = await run('time', car, stageFile);
    expect(timed.status).toBe(0);
    // The survey times the stage as written, with the same car.
    const said = /all-round: (\d+:\d\d\.\d\d)/.exec(made.out)?.[1];
    expect(timed.out).toContain(`Forecast ${said}`);
    const length = wetherLane.s[wetherLane.s.length - 1];
    expect(Math.abs(readStage(stageFile, nodeFiles).road.s.at(-1)! / length - 1)).toBeLessThan(0.002);
  });

  test('is the same to the byte when made again', async () => {
    const [one, two] = [join(folder, 'b'), join(folder, 'c')];
    const first = await run('survey', lane, '--out', one, '--preview', join(one, 'p.svg'));
    const second = await run('survey', lane, '--out', two, '--preview', join(two, 'p.svg'));
    expect(first.status).toBe(0);
    expect(second.out.replaceAll(two, one)).toBe(first.out);
    const files = readdirSync(one);
    expect(files).toEqual(['p.svg', 'wether-lane.csv', 'wether-lane.yaml']);
    const text = (at: string, file: string) => readFileSync(join(at, file), 'utf8');
    expect(files.filter((file) => text(one, file) !== text(two, file))).toEqual([]);
  });

  test('draws a picture that is sound XML, of bounded size, and leads nowhere', async () => {
    const svg = join(folder, 'picture.svg');
    const png = join(folder, 'picture.png');
    expect((await run('survey', lane, '--out', join(folder, 'd'), '--preview', svg)).status).toBe(0);
    expect((await run('survey', lane, '--out', join(folder, 'e'), '--preview', png)).status).toBe(0);
    const text = readFileSync(svg, 'utf8');
    const faults = new Faults();
    expect(walkXml(new Source('picture.svg', text), { open() {}, close() {} }, faults)).toBe(true);
    expect(text.length).toBeLessThan(1_000_000);
    expect(text.replaceAll(/xmlns(:\w+)?="[^"]*"/g, '')).not.toMatch(/https?:/);
    for (const words of [
      'Wether Lane',
      'Height [m]',
      'Grade [%]',
      'Curvature [1/m]',
      'hairpin, under 15 m',
      'closed roads only',
    ])
      expect(text).toContain(words);
    expect([...readFileSync(png).subarray(0, 8)]).toEqual([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  });

  test('backwards ends where it began', async () => {
    expect((await run('survey', lane, '--out', join(folder, 'f'), '--name', 'up')).status).toBe(0);
    expect(
      (await run('survey', lane, '--out', join(folder, 'f'), '--name', 'down', '--reverse')).status,
    ).toBe(0);
    const up = readStage(join(folder, 'f', 'up.yaml'), nodeFiles).road;
    const down = readStage(join(folder, 'f', 'down.yaml'), nodeFiles).road;
    const last = down.s.length - 1;
    expect(Math.hypot(up.xy!.x[0] - down.xy!.x[last], up.xy!.y[0] - down.xy!.y[last])).toBeLessThan(2);
    expect(Math.abs(down.s[last] / up.s[up.s.length - 1] - 1)).toBeLessThan(0.001);
    const mean = (values: Float64Array) => values.reduce((sum, v) => sum + v, 0) / values.length;
    expect(mean(down.grade)).toBeCloseTo(-mean(up.grade), 3);
  });

  test('is cut to what is asked for', async () => {
    const made = await run(
      'survey',
      lane,
      '--out',
      join(folder, 'g'),
      '--track',
      '1',
      '--from',
      '0.3km',
      '--to',
      '1.1km',
    );
    expect(made.err).toBe('');
    const road = readStage(join(folder, 'g', 'wether-lane.yaml'), nodeFiles).road;
    expect(Math.abs(road.s.at(-1)! - 800)).toBeLessThan(15);
    expect(made.out).not.toContain('Wether Lane, back');
  });
});

describe('a survey is refused', () => {
  it.each([
    [
      'flags, all at once',
      [
        'survey',
        lane,
        '--out',
        'x',
        '--track',
        '0',
        '--from',
        'here',
        '--to',
        '-2km',
        '--line',
        'racing',
        '--width',
        '3',
        '--preview',
        'x.pdf',
        '--surface',
        '',
      ],
      [
        '--track 0: expected a number, or several with commas between, each once',
        'help: write --track 2, or --track 2,3 to average two passes of one road',
        '',
        '--from here: here is no number with a unit; expected a length such as 1.2 km; write a length, such as 1.2 km',
        'help: write a distance such as --from 1.2km, or a position such as --from 46.52337,7.21234 (latitude first)',
        '',
        '--to -2km: distances count from the first point, 0 or more',
        'help: write a distance such as --to 1.2km, or a position such as --to 46.52337,7.21234 (latitude first)',
        '',
        '--surface : expected the name of a surface',
        'help: write --surface gravel',
        '',
        '--line racing: expected centre or smooth',
        'help: centre follows the positions; smooth is a path within the width of the road',
        '',
        '--width 3: 3 has no unit; expected a length; write 3 m',
        'help: write the width between the edges of the road, such as --width 3.5m',
        '',
        '--preview x.pdf: expected a file name that ends in .svg or .png',
        'help: write --preview road.svg',
        '',
        '7 faults, nothing written',
        '',
      ],
    ],
    [
      'a file that is not there, beside one that is wrong',
      ['survey', join(folder, 'none.gpx'), write('bad.csv', 'lat,lon\n47,x\n48,1\n'), '--out', 'x'],
      [
        'none.gpx: error: there is no file none.gpx [file/missing]',
        'help: check the path',
        '',
        'bad.csv:2:4: error: lon_deg is x, which is no number; expected -180 to 180 degrees [table/number]',
        '',
        '  2 | 47,x',
        '    |    ^',
        'help: decimal degrees on WGS 84, such as 7.21234, west negative',
        '',
        '2 faults, nothing written',
        '',
      ],
    ],
    [
      'tracks of two roads',
      ['survey', twoRoads, '--out', 'x'],
      [
        'error: the input holds 2 tracks of 2 different roads [survey/tracks]',
        '  1  road A  track  1.45 km  292 points  two.gpx:3    "Wether Lane"',
        '  2  road B  track  1.45 km  292 points  two.gpx:297  "Elsewhere"',
        'help: choose one with --track N; several passes of one road, --track N,M, are averaged',
        'nothing written',
        '',
      ],
    ],
    [
      'a track that is not there',
      ['survey', twoRoads, '--out', 'x', '--track', '2,3'],
      [
        'error: there is no track 3 [survey/tracks]',
        '  1  track  1.45 km  292 points  two.gpx:3    "Wether Lane"',
        '  2  track  1.45 km  292 points  two.gpx:297  "Elsewhere"',
        'help: choose 1 to 2',
        'nothing written',
        '',
      ],
    ],
    [
      'metres beside degrees',
      ['survey', twoRoads, write('plane.csv', 'x_m,y_m\n0,0\n10,0\n'), '--out', 'x'],
      [
        'error: plane.csv has metres of a plane, other inputs have degrees [survey/tracks]',
        'help: survey them one by one: where the plane lies is not known',
        'nothing written',
        '',
      ],
    ],
    [
      'a start off the road',
      ['survey', lane, '--out', 'x', '--from', '47.5,-30'],
      [
        'error: --from 47.5,-30 is more than 200 m from the line [survey/tracks]',
        'help: copy the position from a map, latitude first; is it the right track?',
        'nothing written',
        '',
      ],
    ],
    [
      'a surface that the car does not know',
      ['survey', lane, '--out', 'x', '--surface', 'sand'],
      [
        '--surface sand: the tyre of Mossling, all-round has no grip for it',
        'help: it has gravel, loose gravel, mud, broken asphalt, asphalt; or give a car of your own with --car FILE',
        'nothing written',
        '',
      ],
    ],
  ])('%s', async (_, argv, lines) => {
    const { out, err, status } = await run(...argv);
    expect(err.split('\n')).toEqual(lines);
    expect([out, status]).toEqual(['', 2]);
    expect(existsSync('x')).toBe(false);
  });

  test('where files are there already, unless --force says so', async () => {
    const argv = ['survey', lane, '--out', join(folder, 'h'), '--name', 'Lane'];
    expect((await run(...argv)).status).toBe(0);
    const before = readFileSync(join(folder, 'h', 'lane.csv'), 'utf8');
    const again = await run(...argv, '--surface', 'gravel');
    expect(again.err).toBe(
      'h/lane.yaml, h/lane.csv are there already\nhelp: add --force to write over it, or choose another --out or --name\nnothing written\n',
    );
    expect([again.out, again.status]).toEqual(['', 2]);
    expect(readFileSync(join(folder, 'h', 'lane.csv'), 'utf8')).toBe(before);
    expect((await run(...argv, '--surface', 'gravel', '--force')).status).toBe(0);
    expect(readFileSync(join(folder, 'h', 'lane.csv'), 'utf8')).not.toBe(before);
    expect(readdirSync(join(folder, 'h'))).toEqual(['lane.csv', 'lane.yaml']); // nothing half written
  });
});

describe('export', () => {
  test.each(['gpx', 'geojson'])('a stage as %s reads back onto its road', async (kind) => {
    const out = join(folder, `i-${kind}`);
    expect((await run('survey', lane, '--out', out, '--name', 'Lane & <moor>')).status).toBe(0);
    const stageFile = join(out, 'lane-moor.yaml');
    writeFileSync(stageFile, `${readFileSync(stageFile, 'utf8')}splits: [0.4 km, 0.9 km]\n`);
    const map = join(out, `lane.${kind}`);
    const exported = await run('export', stageFile, '--out', map);
    expect(exported.out).toBe(`wrote ${map}: Lane & <moor> with start, 2 splits and finish\n`);
    const stage = readStage(stageFile, nodeFiles);
    const faults = new Faults();
    const [line] = readRecordings(map, nodeFiles, faults);
    expect(faults.all()).toEqual([]);
    expect(line.name).toBe('Lane & <moor>');
    const { x, y } = toPlane(stage.georeference!, line.east, line.north);
    expect(x.length).toBe(stage.road.s.length);
    for (let i = 0; i < x.length; i++) {
      expect(Math.hypot(x[i] - stage.road.xy!.x[i], y[i] - stage.road.xy!.y[i])).toBeLessThan(0.02);
      expect(Math.abs(line.height[i] - stage.road.z![i])).toBeLessThan(0.006);
    }
    const text = readFileSync(map, 'utf8');
    for (const mark of ['Start', 'Split 1, km 0.400', 'Split 2, km 0.900', 'Finish, km 1.45'])
      expect(text).toContain(mark);
    const again = await run('export', stageFile, '--out', map);
    expect([again.status, again.err]).toEqual([
      2,
      `i-${kind}/lane.${kind} is there already\nhelp: add --force to write over it, or choose another --out\nnothing written\n`,
    ]);
  });

  test.each([
    [
      'a stage without positions',
      packageFile('stages/tarvenmoor/skorrick-climb.yaml'),
      'x.gpx',
      ': error: the road has no positions [export/position]\nhelp: a map needs the columns x_m and y_m in the road table; `splitcast survey` writes them\nnothing written\n',
    ],
    [
      'another kind of file',
      packageFile('stages/tarvenmoor/skorrick-climb.yaml'),
      'x.kml',
      '--out x.kml: expected a file name that ends in .gpx or .geojson\nhelp: write --out stage.gpx\nnothing written\n',
    ],
  ])('%s is refused', async (_, stage, out, said) => {
    const { err, status } = await run('export', stage, '--out', out);
    expect(err.endsWith(said)).toBe(true);
    expect(status).toBe(2);
    expect(existsSync(out)).toBe(false);
  });
});
