import type { Position, SignatureHelp } from 'vscode-languageserver';
import { signatureAt } from '../../language/answers/signature.ts';
import type { SourceFile } from '../../language/project.ts';

/** After these an editor asks what a call takes. */
export const signatureHelpOptions = { triggerCharacters: ['(', ','] };

/** What the call around a position takes, with the argument that is being written marked. */
export function signatureHelp(file: SourceFile, position: Position): SignatureHelp | undefined {
  const signature = signatureAt(file, file.lines.offset(position));
  if (!signature) return undefined;
  const { called, parameters, active } = signature;
  const shown = parameters.map(({ name, type }) => `${name}: ${type}`);
  return {
    signatures: [{ label: `${called}(${shown.join('; ')})`, parameters: shown.map((label) => ({ label })) }],
    activeSignature: 0,
    activeParameter: active,
  };
}
