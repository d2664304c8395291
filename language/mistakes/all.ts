import { kindsIn, type MistakeKind } from './mistake.ts';
import { namingTable } from './naming.ts';
import { placingTable } from './placing.ts';
import { spellingTable } from './spelling.ts';
import { typingTable } from './typing.ts';

/** Every way in which a text can be wrong, by its code. */
export const mistakeKinds: ReadonlyMap<string, MistakeKind> = new Map(
  [spellingTable, namingTable, typingTable, placingTable].flatMap(kindsIn).map((kind) => [kind.code, kind]),
);
