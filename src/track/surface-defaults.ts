/** Rolling resistance of a surface whose stage does not give it, by its name. */
export interface RollingDefault {
  readonly rollingResistance: number; // crr [–]
  readonly source: string;
}

// Wong, Theory of Ground Vehicles, and the Bosch Automotive Handbook, table of rolling resistance of car tyres.
const BOOKS = 'Wong; Bosch Automotive Handbook';
// Carvill, Mechanical Engineer's Data Handbook; Moyer, in Marks' Standard Handbook.
const byName: ReadonlyMap<string, RollingDefault> = new Map([
  ['asphalt', { rollingResistance: 0.013, source: `${BOOKS}: concrete or asphalt` }],
  ['tarmac', { rollingResistance: 0.013, source: `${BOOKS}: concrete or asphalt` }],
  ['concrete', { rollingResistance: 0.013, source: `${BOOKS}: concrete or asphalt` }],
  ['broken asphalt', { rollingResistance: 0.02, source: 'Carvill: worn asphalt or concrete' }],
  ['wet asphalt', { rollingResistance: 0.013, source: `${BOOKS}: concrete or asphalt; water left out` }],
  ['cobbles', { rollingResistance: 0.03, source: 'engineeringtoolbox.com: large worn cobbles' }],
  ['gravel', { rollingResistance: 0.02, source: `${BOOKS}: rolled gravel` }],
  ['loose gravel', { rollingResistance: 0.04, source: 'Carvill: loose worn gravel' }],
  ['wet gravel', { rollingResistance: 0.06, source: "Moyer, in Marks' Handbook: wet loose gravel" }],
  ['earth', { rollingResistance: 0.05, source: `${BOOKS}: unpaved road` }],
  ['dirt', { rollingResistance: 0.05, source: `${BOOKS}: unpaved road` }],
  ['mud', { rollingResistance: 0.05, source: `${BOOKS}: unpaved road` }],
  ['grass', { rollingResistance: 0.1, source: `${BOOKS}: field, least value` }],
  ['sand', { rollingResistance: 0.1, source: 'Carvill: sand, least value' }],
  // No table at hand names snow or ice: hard-packed snow is taken as rolled gravel, ice as asphalt.
  ['snow', { rollingResistance: 0.02, source: `taken as rolled gravel (${BOOKS})` }],
  ['ice', { rollingResistance: 0.013, source: `taken as asphalt (${BOOKS})` }],
]);

/** Of asphalt: what a coast-down on a test track already holds. */
export const ASPHALT_ROLLING = 0.013;

const UNKNOWN: RollingDefault = {
  rollingResistance: 0.02,
  source: `name not known, taken as rolled gravel (${BOOKS})`,
};

/** By the name, read without case; `-` and `_` count as spaces. */
export function rollingDefault(surface: string): RollingDefault {
  return (
    byName.get(
      surface
        .toLowerCase()
        .replace(/[-_\s]+/g, ' ')
        .trim(),
    ) ?? UNKNOWN
  );
}
