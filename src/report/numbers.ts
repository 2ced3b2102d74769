/** Times as crews write them: 7:03.42, 0:41.08; minutes are not cut off at 60. */
export function clock(seconds: number): string {
  const hundredths = Math.round(seconds * 100);
  const minutes = Math.floor(hundredths / 6000);
  const rest = hundredths - minutes * 6000;
  return `${minutes}:${(rest / 100).toFixed(2).padStart(5, '0')}`;
}

export function kmh(speed: number): number {
  return speed * 3.6;
}

export function km(station: number, digits = 2): string {
  return (station / 1000).toFixed(digits);
}
