/** Columns that road tables may have, with bounds in the unit of the name. */
import type { NumberColumn } from '../input/table.ts';

const ANY = Number.POSITIVE_INFINITY;

export const grade: NumberColumn = {
  unit: '%',
  // The steepest public streets are at about 35 %; tracks for crawling reach 100 % (45 deg). From memory.
  min: -100,
  max: 100,
  help: 'percent, positive uphill: 8 is 8 m up in 100 m along; is a decimal point missing?',
};

export const crossfall: NumberColumn = {
  unit: 'deg',
  // Banked test tracks reach 45 to 50 deg. From memory.
  min: -60,
  max: 60,
  help: 'degrees, positive where the road falls to the right; ordinary roads have 1 to 5',
};

export const position: NumberColumn = {
  unit: 'm',
  // Grid coordinates of survey systems reach 10 000 km. Common practice, no source.
  min: -2e7,
  max: 2e7,
  help: 'metres in a plane grid; degrees of latitude and longitude are not read',
};

export const height: NumberColumn = {
  unit: 'm',
  // The Dead Sea's shore lies at -430 m, the highest roads at about 6000 m. From memory.
  min: -1000,
  max: 10_000,
  help: 'metres above sea level',
};

export const width: NumberColumn = {
  unit: 'm',
  min: 0,
  max: 200,
  help: 'metres between the edges of the road',
};

export const stationColumns: Readonly<Record<string, NumberColumn>> = {
  station_m: { unit: 'm', min: -ANY, max: ANY, help: 'metres along the road, rising from row to row' },
  curvature_1pm: {
    unit: '1/m',
    // A radius of 1 m turns tighter than any car. Common practice, no source.
    min: -1,
    max: 1,
    help: '1/radius, positive to the left, 0 where straight: a left-hand bend of 50 m is 0.02',
  },
  grade_pct: grade,
  crossfall_deg: crossfall,
  vertical_curvature_1pm: {
    unit: '1/m',
    // A radius of 2 m is a kerb, not a road. Common practice, no source.
    min: -0.5,
    max: 0.5,
    help: '1/radius in side view, positive in a dip, negative over a crest',
  },
  x_m: position,
  y_m: position,
  z_m: height,
  width_m: width,
};

const radiusHelp = 'metres, positive to the left, negative to the right; empty for a straight';
const straightWords = { inf: ANY, '+inf': ANY, '-inf': ANY, straight: ANY };

export const elementColumns: Readonly<Record<string, NumberColumn>> = {
  length_m: {
    unit: 'm',
    min: 0.01, // a hundredth of a metre is nothing a car would notice; no source
    max: 1e6,
    help: 'metres along the surface, more than 0',
  },
  // NaN stands for an empty cell; infinity for a straight that is written out.
  radius_m: { unit: 'm', min: -1e9, max: 1e9, help: radiusHelp, empty: Number.NaN, words: straightWords },
  end_radius_m: { unit: 'm', min: -1e9, max: 1e9, help: radiusHelp, empty: Number.NaN, words: straightWords },
  grade_pct: grade,
  crossfall_deg: crossfall,
  vertical_curve_m: {
    unit: 'm',
    min: 0.5, // shorter is a kerb; no source
    max: 10_000,
    help: "metres, the length that rounds the change of grade at this row's start; empty for the default",
    empty: Number.NaN,
  },
};

export const pointColumns: Readonly<Record<string, NumberColumn>> = {
  x_m: position,
  y_m: position,
  z_m: height,
  width_m: width,
  width_left_m: { ...width, help: 'metres from the point to the left edge of the road' },
  width_right_m: { ...width, help: 'metres from the point to the right edge of the road' },
};

const text = ['surface', 'note'];

/** All the columns that one of the three kinds of road table may have. */
export const allowedColumns = {
  stations: [...Object.keys(stationColumns), ...text],
  elements: [...Object.keys(elementColumns), ...text],
  points: [...Object.keys(pointColumns), ...text],
} as const;
