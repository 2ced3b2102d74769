/**
 * What published tables say of road surfaces: rolling resistance and adhesion of car tyres, with source and range.
 *
 * Tables disagree by half and more, and none was measured on the tyre and road at hand: one's own coast-down and
 * braking tests are better. docs/surfaces.md shows all of it, with what was confirmed and what is from memory.
 */

/** A coefficient [–]: the value taken, the least and the most that tables give, and whose value was taken. */
export interface Reference {
  readonly value: number;
  readonly least: number;
  readonly most: number;
  readonly source: string;
}

export interface SurfaceReference {
  readonly names: readonly string[]; //      that mean this surface
  readonly rolling: Reference; //            rolling force per normal load, a car's tyre on it
  readonly adhesion: Reference | null; //    greatest force per load before the tyre slides; null: no table names it
}

const WONG_ROLLING = 'Wong; Bosch Automotive Handbook';
const WONG = 'Wong, after Taborek';

const of = (value: number, least: number, most: number, source: string): Reference => ({
  value,
  least,
  most,
  source,
});

export const surfaceReferences: readonly SurfaceReference[] = [
  {
    names: ['asphalt', 'tarmac'],
    rolling: of(0.013, 0.008, 0.02, `${WONG_ROLLING}: concrete or asphalt`),
    adhesion: of(0.85, 0.7, 1, `${WONG}: dry asphalt or concrete, middle of 0.8 to 0.9`),
  },
  {
    names: ['concrete'],
    rolling: of(0.013, 0.008, 0.02, `${WONG_ROLLING}: concrete or asphalt`),
    adhesion: of(0.85, 0.8, 0.9, `${WONG}: dry asphalt or concrete, middle of 0.8 to 0.9`),
  },
  {
    names: ['wet asphalt', 'wet tarmac'],
    rolling: of(0.013, 0.008, 0.02, `${WONG_ROLLING}: concrete or asphalt; water left out`),
    adhesion: of(0.6, 0.45, 0.7, `${WONG}: wet asphalt, middle of 0.5 to 0.7`),
  },
  {
    names: ['broken asphalt'],
    rolling: of(0.02, 0.02, 0.02, 'Carvill: worn asphalt or concrete'),
    adhesion: null,
  },
  {
    names: ['cobbles'],
    rolling: of(0.03, 0.01, 0.03, 'engineeringtoolbox.com: large worn cobbles'),
    adhesion: null,
  },
  {
    names: ['gravel'],
    rolling: of(0.02, 0.01, 0.02, `${WONG_ROLLING}: rolled gravel`),
    adhesion: of(0.6, 0.35, 0.7, `${WONG}: gravel`),
  },
  {
    names: ['loose gravel'],
    rolling: of(0.04, 0.04, 0.08, 'Carvill: loose worn gravel'),
    adhesion: null,
  },
  {
    names: ['wet gravel'],
    rolling: of(0.06, 0.06, 0.06, "Moyer, in Marks' Standard Handbook: wet loose gravel"),
    adhesion: of(0.45, 0.4, 0.5, 'bohnenkamp.by: wet crushed stone, middle of 0.4 to 0.5'),
  },
  {
    names: ['earth', 'dirt'],
    rolling: of(0.05, 0.05, 0.08, `${WONG_ROLLING}: unpaved road`),
    adhesion: of(0.68, 0.5, 0.68, `${WONG}: dry earth road`),
  },
  {
    names: ['mud'],
    rolling: of(0.05, 0.05, 0.08, `${WONG_ROLLING}: unpaved road`),
    adhesion: of(0.4, 0.15, 0.55, `${WONG}: wet earth road, sliding, least of 0.4 to 0.5`),
  },
  {
    names: ['grass'],
    rolling: of(0.1, 0.1, 0.35, `${WONG_ROLLING}: field, least value`),
    adhesion: null,
  },
  {
    names: ['sand'],
    rolling: of(0.1, 0.1, 0.4, 'Carvill: sand, least value'),
    adhesion: null,
  },
  {
    // No table at hand names the rolling of snow or ice: hard-packed snow is taken as rolled gravel, ice as asphalt.
    names: ['snow'],
    rolling: of(0.02, 0.01, 0.02, `taken as rolled gravel (${WONG_ROLLING})`),
    adhesion: of(0.2, 0.2, 0.38, `${WONG}: hard-packed snow`),
  },
  {
    names: ['ice'],
    rolling: of(0.013, 0.008, 0.02, `taken as asphalt (${WONG_ROLLING})`),
    adhesion: of(0.1, 0.05, 0.15, `${WONG}: ice`),
  },
];

/** Of a surface whose name no table knows. */
export const UNKNOWN_ROLLING: Reference = of(
  0.02,
  0.008,
  0.4,
  `name not known, taken as rolled gravel (${WONG_ROLLING})`,
);

const byName = new Map(
  surfaceReferences.flatMap((entry) => entry.names.map((name) => [name, entry] as const)),
);

/** By the name, read without case; `-` and `_` count as spaces. @returns null where no table knows the name */
export function surfaceReference(name: string): SurfaceReference | null {
  const plain = name.toLowerCase().replace(/[-_\s]+/g, ' ');
  return byName.get(plain.trim()) ?? null;
}

/** Rolling resistance of a surface whose stage does not give it. */
export function rollingReference(name: string): Reference {
  return surfaceReference(name)?.rolling ?? UNKNOWN_ROLLING;
}

/** Rolling resistance of asphalt [–]: what a coast-down on a test track already holds. */
export const ASPHALT_ROLLING: number = rollingReference('asphalt').value;
