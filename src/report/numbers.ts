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

/** Text from a file, fit for a terminal: control characters shown as their code points. */
export function plainText(text: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
  return text.replace(
    /[\u0000-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/g,
    (c) => `\\u{${c.codePointAt(0)!.toString(16)}}`,
  );
}
