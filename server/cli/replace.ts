import { chmodSync, readFileSync, realpathSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';

/** Writes a file's new text beside it and then puts it in its place, so that nothing is lost where it cannot be written. */
export function replaceFile(full: string, text: string): void {
  const target = realpathSync(full);
  const beside = `${target}.${process.pid}.new`;
  try {
    writeFileSync(beside, text);
    chmodSync(beside, statSync(target).mode);
    renameSync(beside, target);
  } catch (error) {
    rmSync(beside, { force: true });
    throw error;
  }
}

/** The same, unless the file holds something else than `before` by now. Returns whether it was written. */
export function replaceUnlessChanged(full: string, before: string, text: string): boolean {
  if (readFileSync(full, 'utf8') !== before) return false;
  replaceFile(full, text);
  return true;
}
