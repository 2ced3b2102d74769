/** Whatever stands in an event or in a file of changes, it is read or refused with places, and never more. */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { InputError } from '../../src/input/diagnostic.ts';
import { attempt, eventFiles } from './small-event.ts';

const pieces = [
  '{',
  '}',
  '[',
  ']',
  ':',
  ' ',
  '\n',
  '- ',
  '= ',
  'now',
  '1e999',
  '-',
  '0',
  '%',
  'kg',
  '__proto__',
  'stage.',
  '.',
  '[0]',
  '*a',
  '&a',
  '!x',
  '"',
  "'",
  '#',
  '\t',
  'null',
  'true',
  '\u0000',
  '𝛀',
];

it('reads or refuses files with random slips', { timeout: 180_000 }, () => {
  let refused = 0;
  fc.assert(
    fc.property(
      fc.constantFrom('event.yaml', 'changes.yaml'),
      fc.array(
        fc.record({
          at: fc.double({ min: 0, max: 0.999, noNaN: true }),
          cut: fc.integer({ min: 0, max: 6 }),
          put: fc.constantFrom(...pieces),
        }),
        { minLength: 1, maxLength: 3 },
      ),
      (file, slips) => {
        let text = eventFiles[file];
        for (const { at, cut, put } of slips) {
          const i = Math.floor(at * text.length);
          text = text.slice(0, i) + put + text.slice(i + cut);
        }
        try {
          const { study, text: errors } = attempt({ [file]: text });
          expect(study === null).toBe(errors !== '');
          if (study === null) refused++;
          // What passes can be tried.
          else
            study.evaluate({ changes: [], settings: [], draw: study.event.uncertain.length > 0 ? 3 : null });
        } catch (error) {
          // A draw may leave the bounds of a value: an error of the input too.
          expect(error).toBeInstanceOf(InputError);
        }
      },
    ),
    { numRuns: 300, seed: 7 },
  );
  expect(refused).toBeGreaterThan(50);
});
