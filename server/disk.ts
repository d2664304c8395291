// What is read from the disk because a file or a client names it: never more than what a text of this language can be.
import { closeSync, constants, existsSync, fstatSync, openSync, readSync, realpathSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Refusal } from '../language/project.ts';
import { fileEnding, folderOf, isProjectFile, refusedByName, refuseUse as refuseReach } from './reach.ts';

/** No larger file is read (bytes): more than ten times what the text of 100,000 blocks takes. */
const mostBytes = 32 * 2 ** 20;

const reasons: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file or folder',
  EACCES: 'that is not allowed',
  EPERM: 'that is not allowed',
  EROFS: 'that is not allowed',
  EISDIR: 'it is a folder',
  ENOTDIR: 'a folder on its way is a file',
  ELOOP: 'its links lead in a ring',
  ENOSPC: 'the disk is full',
  EAGAIN: 'it is not a regular file',
  ENXIO: 'it is not a regular file',
};

/** Why something on the file system failed, in plain words. */
export function reasonOf(error: unknown): string {
  const code = (error as NodeJS.ErrnoException).code ?? '';
  return reasons[code] ?? (code || String(error));
}

/**
 * The text of a regular file of at most `mostBytes` in UTF-8, without the mark of its byte order unless that is to be kept;
 * or why it is not read. Throws what the file system throws.
 */
export function readFile(path: string, keepMark = false): string | Refusal {
  // A pipe that nobody writes to would be waited for, were it not opened so.
  const file = openSync(path, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
  try {
    const about = fstatSync(file);
    if (about.isDirectory()) return { refused: 'it is a folder' };
    if (!about.isFile()) return { refused: 'it is not a regular file' };
    const bytes = about.size > mostBytes ? undefined : readBytes(file, about.size);
    if (!bytes) return { refused: `it is larger than ${mostBytes / 2 ** 20} MB` };
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: keepMark }).decode(bytes);
  } catch (error) {
    if (error instanceof TypeError) return { refused: 'it is not text in UTF-8' };
    throw error;
  } finally {
    closeSync(file);
  }
}

/** All bytes of an open file; undefined where there are more than are read. Some files say that they have none, and have. */
function readBytes(file: number, size: number): Uint8Array | undefined {
  let bytes = Buffer.alloc(size + 1);
  let filled = 0;
  for (;;) {
    const read = readSync(file, bytes, filled, bytes.length - filled, null);
    filled += read;
    if (read === 0) return bytes.subarray(0, filled);
    if (filled > mostBytes) return undefined;
    if (filled === bytes.length) bytes = Buffer.concat([bytes, Buffer.alloc(Math.max(4096, bytes.length))]);
  }
}

/** The text of a file that another one uses, or that lies in a client's folder; undefined for what is not there. */
export function readUsed(uri: string): string | Refusal | undefined {
  if (!uri.startsWith('file:')) return undefined;
  try {
    const path = realpathSync(fileURLToPath(uri));
    return path.endsWith(fileEnding) || isProjectFile(path) ? readFile(path) : refusedByName;
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code ?? '';
    return code === 'ENOENT' || code === 'ENOTDIR' ? undefined : { refused: reasonOf(error) };
  }
}

/**
 * Why a file may not use another one, or undefined where it may: it lies beside the file or below, in one of these folders,
 * or in the same folder under version control. All are URIs.
 */
export function refuseUse(uri: string, from: string, folders: readonly string[]): string | undefined {
  return refuseReach(uri, from, folders, rootOf);
}

/** The folder around a file that is under version control, if there is one. */
export function rootOf(uri: string): string | undefined {
  if (!uri.startsWith('file:')) return undefined;
  for (let folder = folderOf(uri); folder.length > 'file:///'.length; folder = folderOf(folder.slice(0, -1)))
    if (existsSync(fileURLToPath(`${folder}.git`))) return folder;
  return undefined;
}
