import { expect, test } from 'vitest';
import { sha256 } from '../../../server/sheet/digest.ts';

// FIPS 180-4, examples of the SHA-256 algorithm: "abc", and no message at all.
test('the digest of a text, as the standard has it', async () => {
  const hex = async (text: string) => Buffer.from(await sha256(text), 'base64').toString('hex');
  expect(await hex('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
  expect(await hex('')).toBe('e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855');
});
