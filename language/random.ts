/**
 * The next number that is drawn, a whole one of 32 bits, and the next state in place of the last: xoshiro128**.
 * Source: Blackman and Vigna, "Scrambled linear pseudorandom number generators", ACM Transactions on Mathematical Software 47 (2021).
 */
export function xoshiro(state: Uint32Array): number {
  const [a = 0, b = 0, c = 0, d = 0] = state;
  const result = Math.imul(rotated(Math.imul(b, 5), 7), 9) >>> 0;
  const [c2, d2] = [c ^ a, d ^ b];
  state.set([a ^ d2, b ^ c2, c2 ^ (b << 9), rotated(d2, 11)]);
  return result;
}

function rotated(word: number, by: number): number {
  return (word << by) | (word >>> (32 - by));
}
