/** Sound OpenDRIVE files and pace notes with random slips: refused or read, and never anything else. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { InputError } from '../../src/input/diagnostic.ts';
import { readNotes, roadOf, scaleText } from '../helpers/notes.ts';
import { openDrive, piece, readXodr, road } from '../helpers/open-drive.ts';

const SEED = 5201;

const splices = (words: readonly string[]) =>
  fc.array(
    fc.record({
      at: fc.nat({ max: 5000 }),
      cut: fc.nat({ max: 6 }),
      put: fc.oneof(fc.string({ unit: 'binary', maxLength: 4 }), fc.constantFrom(...words)),
    }),
    { minLength: 1, maxLength: 2 },
  );

type Splices = readonly { readonly at: number; readonly cut: number; readonly put: string }[];

const spliced = (text: string, slips: Splices) =>
  slips.reduce((whole, { at, cut, put }) => {
    const i = at % (whole.length + 1);
    return whole.slice(0, i) + put + whole.slice(i + cut);
  }, text);

/** Whether it is read; a refusal must be an InputError that says something. */
function isRead(read: () => unknown): boolean {
  try {
    read();
    return true;
  } catch (error) {
    expect(error).toBeInstanceOf(InputError);
    expect((error as InputError).diagnostics.every((d) => d.message !== '' && d.help !== '')).toBe(true);
    return false;
  }
}

test('OpenDRIVE', () => {
  const text = openDrive(
    road(
      '1',
      [
        piece(0, [0, 0, 0], 60, '<spiral curvStart="0" curvEnd="0.02"/>'),
        piece(60, [57.86, 11.69, 0.6], 20, '<poly3 a="0" b="0" c="0.01" d="0"/>'),
      ],
      '<elevationProfile><elevation s="0" a="4" b="0.1" c="0" d="0"/></elevationProfile><lanes><laneSection s="0"><right><lane id="-1" type="driving"><material sOffset="0" friction="0.8" surface="mud"/></lane></right></laneSection></lanes>',
    ),
  );
  let read = 0;
  fc.assert(
    fc.property(
      splices(['<', '/>', '"', '<!--', ']]>', '&amp;', '1e9', '-', '0', 'e', '</road>']),
      (slips) => {
        if (isRead(() => readXodr(spliced(text, slips)))) read++;
      },
    ),
    { seed: SEED, numRuns: 200 },
  );
  expect(read).toBeGreaterThan(0); // both ways are reached
});

test('pace notes', () => {
  const calls = '100,left 4 long\n300,right hairpin tightens 1\n420,crest\n800,finish\n';
  const words = [
    ',',
    '"',
    '\n',
    'left',
    ' 4',
    'crest',
    ' ',
    ' into ',
    ' ',
    '[',
    '}',
    ': ',
    '- ',
    '1e999',
    '-',
    '0',
    '#',
    'm',
  ];
  let read = 0;
  fc.assert(
    fc.property(splices(words), fc.boolean(), (slips, inScale) => {
      const [scale, list] = inScale ? [spliced(scaleText, slips), calls] : [scaleText, spliced(calls, slips)];
      if (isRead(() => roadOf(readNotes([list], scale)))) read++;
    }),
    { seed: SEED, numRuns: 300 },
  );
  expect(read).toBeGreaterThan(0); // both ways are reached
});
