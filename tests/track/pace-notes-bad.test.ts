/** Scales and call lists that cannot be. Every text was read and judged by eye when it was set down. */
import { expect, test } from 'vitest';
import { Faults } from '../../src/input/faults.ts';
import { memoryFiles } from '../../src/input/file-access.ts';
import { renderDiagnostic } from '../../src/input/render-diagnostic.ts';
import { readCalls } from '../../src/track/pace-notes-calls.ts';
import { readScale } from '../../src/track/pace-notes-scale.ts';
import { spoil } from '../fixtures/good-files.ts';
import { scaleText } from '../helpers/notes.ts';

const goodCalls = 'distance_m,call\n100,left 4 long\n300,right hairpin\n800,finish\n';

/** Tests that the two are met with exactly these lines, and whether the calls are read all the same. */
function says(
  name: string,
  { scale = scaleText, calls = goodCalls }: { readonly scale?: string; readonly calls?: string },
  lines: readonly string[],
  read = false,
): void {
  test(name, () => {
    const files = memoryFiles({ 'scale.yaml': scale, 'calls.csv': calls });
    const faults = new Faults();
    const meant = readScale('scale.yaml', files, faults);
    const list = meant === null ? null : readCalls('calls.csv', files, meant, faults);
    expect(faults.all().map(renderDiagnostic).join('\n').split('\n').slice(0, -1)).toEqual(lines);
    expect(list !== null).toBe(read);
  });
}

says(
  'a scale with radii the wrong way round, without a unit, and of one end',
  {
    scale: spoil(
      spoil(spoil(scaleText, '[6 m, 12 m]', '[12 m, 6 m]'), '[60 m, 100 m]', '[60, 100 m]'),
      '[10 m, 20 m]',
      '[10 m]',
    ),
  },
  [
    'scale.yaml:3:21: error: bends.hairpin.radius begins with the wider radius, 12 m, and ends with 6 m [scale/range]',
    '',
    '  3 |   hairpin: {radius: [12 m, 6 m], turn: 165 deg}',
    '    |                     ^^^^^^^^^^^',
    'help: write the tight end first, such as `radius: [60 m, 100 m]`',
    '',
    'scale.yaml:4:15: error: bends.1.radius has one radius, expected two [scale/range]',
    '',
    '  4 |   1: {radius: [10 m], turn: 110 deg}',
    '    |               ^^^^^^',
    'help: write the tight end first, such as `radius: [60 m, 100 m]`',
    '',
    'scale.yaml:5:16: error: item 1 of bends.4.radius is 60, which has no unit; expected a length [unit/missing]',
    '',
    '  5 |   4: {radius: [60, 100 m], turn: 45 deg}',
    '    |                ^^',
    'help: write `60 m` (units: m, also km, ft, mi)',
  ],
);

says(
  'a scale with modifiers that make no sense',
  {
    scale: spoil(
      spoil(scaleText, 'crest: {over: [150 m, 400 m], length: 60 m}', 'crest: {over: [150 m, 400 m]}'),
      'long: {turn: 1.6}',
      'long: {turn: 1.6, lenght: 9 m}\n  care: {}',
    ),
  },
  [
    'scale.yaml:8:21: error: modifiers.long.lenght is not a key here [key/unknown]',
    '',
    '  8 |   long: {turn: 1.6, lenght: 9 m}',
    '    |                     ^^^^^^',
    'help: did you mean length?',
    '',
    'scale.yaml:9:9: error: modifiers.care changes nothing [scale/modifier]',
    '',
    '  9 |   care: {}',
    '    |         ^^',
    'help: write, for example, `crest: {over: [150 m, 400 m], length: 60 m}`; words that change nothing belong into `ignore`',
    '',
    'scale.yaml:12:10: error: modifiers.crest has a radius in side view but no length [scale/modifier]',
    '',
    '  12 |   crest: {over: [150 m, 400 m]}',
    '     |          ^^^^^^^^^^^^^^^^^^^^^^',
    'help: write, for example, `crest: {over: [150 m, 400 m], length: 60 m}`; words that change nothing belong into `ignore`',
  ],
);

says('a word with two meanings', { scale: spoil(scaleText, 'ignore: [over', 'ignore: [Long') }, [
  'scale.yaml:13:10: error: the word long has a meaning already [scale/word]',
  '',
  "  13 | ignore: [Long, into, don't cut]",
  '     |          ^^^^',
  'help: each word means one thing: a side, a bend, a modifier, the finish or nothing',
]);

says(
  'numbers that run neither way',
  {
    scale: spoil(
      scaleText,
      '4: {radius: [60 m, 100 m], turn: 45 deg}',
      '3: {radius: [5 m, 9 m], turn: 90 deg}\n  4: {radius: [60 m, 100 m], turn: 45 deg}',
    ),
  },
  [
    'scale.yaml:5:3: warning: bend 3 is not wider than 1, against the order of the other numbers [scale/order]',
    '',
    '  5 |   3: {radius: [5 m, 9 m], turn: 90 deg}',
    '    |   ^',
    'help: the radii stand as written',
  ],
  true,
);

says(
  'calls with words that the scale does not have',
  {
    calls: 'distance_m,call\n100,left 4 lnog\n200,"right hairpin, keep  banana"\n300,L5\n800,finish\n',
  },
  [
    'calls.csv:2:12: error: the scale has no word lnog [notes/word]',
    '',
    '  2 | 100,left 4 lnog',
    '    |            ^^^^',
    'help: did you mean long? If not: words that change nothing belong into `ignore` of scale.yaml',
    '',
    'calls.csv:3:21: error: the scale has no word keep [notes/word]',
    '',
    '  3 | 200,"right hairpin, keep  banana"',
    '    |                     ^^^^',
    'help: words that change nothing belong into `ignore` of scale.yaml',
    '',
    'calls.csv:3:27: error: the scale has no word banana [notes/word]',
    '',
    '  3 | 200,"right hairpin, keep  banana"',
    '    |                           ^^^^^^',
    'help: words that change nothing belong into `ignore` of scale.yaml',
    '',
    'calls.csv:4:5: error: the scale has no word l5 [notes/word]',
    '',
    '  4 | 300,L5',
    '    |     ^^',
    'help: words that change nothing belong into `ignore` of scale.yaml',
  ],
);

says(
  'calls that contradict themselves',
  {
    calls: [
      'distance_m,call',
      '100,left 4 right',
      '200,hairpin',
      '300,left long',
      '400,left 4 into 1',
      '500,long crest',
      '600,left 4 opens tightens',
      '700,crest over big dip',
      '800,finish left 4',
      '',
    ].join('\n'),
  },
  [
    'calls.csv:2:12: error: the call says both left and right [notes/call]',
    '',
    '  2 | 100,left 4 right',
    '    |            ^^^^^',
    'help: write a second call for the other bend',
    '',
    'calls.csv:3:5: error: the call does not say to which side the hairpin goes [notes/call]',
    '',
    '  3 | 200,hairpin',
    '    |     ^^^^^^^',
    'help: write `left` or `right` before it',
    '',
    'calls.csv:4:5: error: the call says a side but names no bend [notes/call]',
    '',
    '  4 | 300,left long',
    '    |     ^^^^^^^^^',
    'help: the bends of the scale are hairpin, 1, 4, 6',
    '',
    'calls.csv:5:17: error: the call names two bends, 4 and 1 [notes/call]',
    '',
    '  5 | 400,left 4 into 1',
    '    |                 ^',
    'help: say how the one becomes the other, such as `left 4 tightens 3`, or write a second call',
    '',
    'calls.csv:6:5: error: long says something of a bend, but the call names none [notes/call]',
    '',
    '  6 | 500,long crest',
    '    |     ^^^^',
    'help: the bends of the scale are hairpin, 1, 4, 6',
    '',
    'calls.csv:7:18: error: the call says both opens and tightens [notes/call]',
    '',
    '  7 | 600,left 4 opens tightens',
    '    |                  ^^^^^^^^',
    'help: leave one of them out',
    '',
    'calls.csv:8:16: error: the call says both crest and big dip [notes/call]',
    '',
    '  8 | 700,crest over big dip',
    '    |                ^^^^^^^',
    'help: write a call of its own for one of them',
    '',
    'calls.csv:9:5: error: the call says the finish and something else [notes/call]',
    '',
    '  9 | 800,finish left 4',
    '    |     ^^^^^^^^^^^^^',
    'help: write the finish as a call of its own',
  ],
);

says(
  'a distance with a unit',
  {
    calls: 'distance_m,call\n100,left 4\n200,crest\n300,right 4\n1 km,left 4\n2000,finish\n',
  },
  [
    'calls.csv:5:1: error: distance_m is 1 km, which is no number; expected 0 to 1000000 m [table/number]',
    '',
    '  5 | 1 km,left 4',
    '    | ^^^^',
    'help: metres from the start line to where the bend begins, rising from row to row',
  ],
);

says(
  'distances that fall or nearly coincide',
  {
    calls: 'distance_m,call\n100,left 4\n100.5,crest\n90,right 4\n800,finish\n',
  },
  [
    'calls.csv:3:1: error: the calls at 100 and 100.5 m are less than 1 m apart [notes/distance]',
    '',
    '  3 | 100.5,crest',
    '    | ^^^^^',
    'help: put them into one call, such as `left 4 over crest`',
    '',
    'calls.csv:4:1: error: distance_m falls from 100.5 to 90 m; expected it to rise [notes/distance]',
    '',
    '  4 | 90,right 4',
    '    | ^^',
    'help: sort the calls along the road',
  ],
);

says('no finish', { calls: spoil(goodCalls, '800,finish', '800,left 6') }, [
  'calls.csv:4:5: error: the call list has no finish [notes/finish]',
  '',
  '  4 | 800,left 6',
  '    |     ^^^^^^',
  'help: write it as the last call, such as `8420,finish`, so that the length of the stage is known',
]);

says('a call after the finish', { calls: `${goodCalls}900,left 4\n` }, [
  'calls.csv:5:5: error: there is a call after the finish [notes/finish]',
  '',
  '  5 | 900,left 4',
  '    |     ^^^^^^',
  'help: leave it out, or move the finish to the end',
]);

says('a call list of other columns', { calls: 'distance_km,call\n1,left 4\n2,finish\n' }, [
  'calls.csv:1:1: error: distance_km is not a column of a call list [table/column]',
  '',
  '  1 | distance_km,call',
  '    | ^^^^^^^^^^^',
  'help: did you mean distance_m, with values in m? If not: remarks belong into a column note',
  '',
  'calls.csv:1:1: error: the column distance_m is missing [table/column]',
  '',
  '  1 | distance_km,call',
  '    | ^^^^^^^^^^^^^^^^',
  'help: a call list has the columns distance_m, call, and may have grade_pct, surface, note',
]);

says('a call list without calls', { calls: 'distance_m,call\n' }, [
  'calls.csv:1:1: error: the call list has no finish [notes/finish]',
  '',
  '  1 | distance_m,call',
  '    | ^^^^^^^^^^^^^^^',
  'help: write it as the last call, such as `8420,finish`, so that the length of the stage is known',
]);

says(
  'a scale of many bends and words for the sides',
  {
    scale: `${scaleText}left: [${Array.from({ length: 3000 }, (_, i) => `l${i}`).join(', ')}]\n`,
  },
  [
    'scale.yaml:2:1: error: 4 bends and 3002 words for left and right are more than a scale needs [scale/many]',
    '',
    '  2 | bends:',
    '    | ^^^^^',
    'help: a crew tells some ten bends apart',
  ],
);
