import { describe, expect, it } from 'vitest';
import { StageError } from '../../src/sim/stage-error.ts';
import { G } from '../../src/track/road.ts';
import { carWith, gripOf, roadTable, sampleRoad } from '../helpers/build.ts';
import { atEnd, driveFree, kmh } from '../helpers/drive.ts';
import { readData, Validation } from '../helpers/validation.ts';

const STEP = 1; // a circle at its limit: the speed does not depend on the step
const validation = new Validation('bends');

/**
 * Radius that the model wants for `speed` at side friction f on a bend that falls inward by the slope e.
 * Without aerodynamic load v² grows as the radius, so one run gives the radius of any speed.
 */
function radiusFor(speed: number, f: number, e: number): number {
  const { v } = atEnd(driveFree(carWith({ tyre: { radius: null, grip: gripOf(f) } }), circle(e), STEP));
  return (RADIUS * speed * speed) / (v * v);
}

const RADIUS = 100; // [m]

function circle(e: number) {
  const row = { k: 1 / RADIUS, phi: -Math.atan(e) }; // a left bend is helped where the road falls to the left
  return roadTable([
    { s: 0, ...row },
    { s: 40, ...row },
  ]);
}

/** The same from the road's columns alone: |lateral demand| = f × normal load, both linear in v². */
function radiusFromColumns(speed: number, f: number, e: number): number {
  const { normal, normalPerV2, lateral, lateralPerV2 } = sampleRoad(circle(e), STEP, []);
  return (RADIUS * speed * speed * (lateralPerV2[0] - f * normalPerV2[0])) / (f * normal[0] - lateral[0]);
}

/** Radius by the book's plain formula R = V²/(127 (e + f)), driven: a level road of grip e + f; 127 stands for 12.96 g. */
const radiusByFormula = (speed: number, f: number, e: number) =>
  (radiusFor(speed, e + f, 0) * 12.96 * G) / 127;

describe('1a: least radius of a superelevated bend', () => {
  // AASHTO Green Book 2004 Exhibit 3-15, 2011 Table 3-7 (from memory). 127 is 0.074 % under 12.96 g.
  const source = 'Green Book 2004 Exh. 3-15';
  it.each(readData('green_book_rmin.csv'))('$V_kmh km/h, e $e, f $f', (row) => {
    const v = kmh(Number(row['V_kmh']));
    const [e, f] = [Number(row['e']), Number(row['f'])];
    const at = `${row['V_kmh']} km/h, e ${(100 * e).toFixed(0)} %, f ${f.toFixed(2)}`;
    validation.check({
      section: '1a Least radius, the table (its constant, no e f term)',
      check: at,
      source,
      mark: 'M',
      expected: row['R_calc_printed_m'],
      got: radiusByFormula(v, f, e),
      unit: 'm',
      step: STEP,
    });
    validation.check({
      section: '1a Least radius, exact constant, level road of grip e + f',
      check: at,
      source: 'own',
      mark: 'D',
      expected: row['R_exact_constant_m'],
      got: radiusFor(v, e + f, 0),
      unit: 'm',
      step: STEP,
    });
    // A car at rest slides off a slope steeper than its grip (as steep: rounding decides), and the solver refuses such a road.
    const slides = f <= e;
    if (f < e) expect(() => radiusFor(v, f, e)).toThrow(StageError);
    const got = slides ? radiusFromColumns(v, f, e) : radiusFor(v, f, e);
    validation.check({
      section: '1a Least radius, banked turn v² = g R (e + f)/(1 − e f)',
      check: slides ? `${at} (road's columns only: f ≤ e)` : at,
      source: 'own',
      mark: 'D',
      expected: row['R_with_ef_term_m'],
      got,
      unit: 'm',
      step: slides ? null : STEP,
    });
    const exact = (v * v * (1 - e * f)) / (G * (e + f));
    expect(Math.abs(got / exact - 1)).toBeLessThan(1e-9);
  });
});

describe('1b: radius tables found in print', () => {
  // Flag: in the rows 20–70 km/h the printed friction does not belong to the printed radius.
  it.each(readData('era_table_8_2.csv'))('ERA table 8-2, $V_kmh km/h', (row) => {
    validation.check({
      section:
        '1b ERA Geometric Design Manual 2002, Table 8-2 (e 4 %); the printed radii of 20 to 100 km/h are rounded or do not fit the printed f',
      check: `${row['V_kmh']} km/h, f ${row['f_printed']}`,
      source: 'formula with the printed f',
      mark: 'C',
      expected: row['R_formula_m'],
      got: radiusByFormula(kmh(Number(row['V_kmh'])), Number(row['f_printed']), 0.04),
      unit: 'm',
      step: STEP,
      flawed: row['R_printed_m'],
    });
  });

  it('ERA, example: 100 km/h, e 8 %, f 0.12', () => {
    validation.check({
      section: '1b Examples',
      check: '100 km/h, e 8 %, f 0.12',
      source: 'ERA 2002, example to Table 8-2',
      mark: 'C',
      expected: '393.70',
      got: radiusByFormula(kmh(100), 0.12, 0.08),
      unit: 'm',
      step: STEP,
    });
  });

  // V²/(15 (e + f)), V in mph, R in ft: 15 stands for g too.
  const FOOT = 0.3048;
  const MPH = 0.44704;
  const feetByFormula = (mph: number, f: number, e: number) =>
    ((radiusFor(mph * MPH, e + f, 0) / FOOT) * G * FOOT) / (15 * MPH ** 2);

  it('tutorsglobe.com: 70 mph, e 8 %, f 0.10', () => {
    validation.check({
      section: '1b Examples',
      check: '70 mph, e 8 %, f 0.10',
      source: 'tutorsglobe.com',
      mark: 'C',
      expected: '1814.8',
      got: feetByFormula(70, 0.1, 0.08),
      unit: 'ft',
      step: STEP,
    });
  });

  // Flag: the page puts friction for km/h beside speeds in mph.
  it.each([
    { mph: 30, f: 0.28, expected: '166.7', flawed: '250' },
    { mph: 40, f: 0.23, expected: '344.1', flawed: '510' },
    { mph: 50, f: 0.19, expected: '617.3', flawed: '930' },
  ])('engdatabase.com: $mph mph', ({ mph, f, expected, flawed }) => {
    validation.check({
      section:
        '1b engdatabase.com, "Green Book 7th ed."; the printed radii do not fit the formula beside them',
      check: `${mph} mph, e 8 %, f ${f.toFixed(2)}`,
      source: 'formula with the printed f',
      mark: 'C',
      expected,
      got: feetByFormula(mph, f, 0.08),
      unit: 'ft',
      step: STEP,
      flawed,
    });
  });
});

validation.compareWithDocs();
