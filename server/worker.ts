// The language server in a worker of a browser: it has no disk, and asks its client for the files that others use.
import {
  BrowserMessageReader,
  BrowserMessageWriter,
  createConnection,
  ProposedFeatures,
} from 'vscode-languageserver/browser';
import { today } from './day.ts';
import { answer } from './server.ts';

// What a worker is to itself is typed for browsers alone, as one that is seen from outside.
const outside = globalThis as unknown as ConstructorParameters<typeof BrowserMessageReader>[0];
const connection = createConnection(
  ProposedFeatures.all,
  new BrowserMessageReader(outside),
  new BrowserMessageWriter(outside),
);
answer(connection, { today });
