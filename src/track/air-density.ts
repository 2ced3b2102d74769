/**
 * Density of dry air from height and temperature.
 *
 * Source: ISO 2533:1975 (standard atmosphere, troposphere): T = 288.15 − 0.0065 H, p = 101325 (T/288.15)^5.25588,
 * ρ = p/(287.05287 T), H the geopotential altitude. Holds from −2 to 11 km.
 */

const T0 = 288.15; //            [K] at sea level
const LAPSE = 0.0065; //         [K/m]
const P0 = 101_325; //           [Pa] at sea level
const GAS = 287.052_87; //       [J/(kg K)] of dry air
const EXPONENT = 9.806_65 / (GAS * LAPSE); // 5.25588
const EARTH_RADIUS = 6_356_766; // [m], the standard's own

/** Temperature of the standard atmosphere [K] at a geopotential altitude [m]. */
export const isaTemperature = (altitude: number): number => T0 - LAPSE * altitude;

/** Pressure of the standard atmosphere [Pa] at a geopotential altitude [m]. */
export const isaPressure = (altitude: number): number => P0 * (isaTemperature(altitude) / T0) ** EXPONENT;

/** Geopotential altitude [m] of a height above sea level [m], as a map or a satellite receiver gives it. */
export const geopotential = (height: number): number => (EARTH_RADIUS * height) / (EARTH_RADIUS + height);

/**
 * Density [kg/m³] at a geopotential altitude [m]: the standard's pressure there, by the ideal gas law.
 * @param temperature of the day [K]; absent: the standard's at that altitude
 */
export const airDensity = (altitude: number, temperature: number = isaTemperature(altitude)): number =>
  isaPressure(altitude) / (GAS * temperature);
