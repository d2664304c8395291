// Messages with a Content-Length header, as language servers and TypeScript's server write them to their output.

/** Splits a stream into messages. Give it every chunk; it calls back once for each whole message. */
export function frameReader(onMessage: (text: string) => void): (chunk: Buffer) => void {
  let held: Buffer = Buffer.alloc(0);
  return (chunk) => {
    held = held.length > 0 ? Buffer.concat([held, chunk]) : chunk;
    for (;;) {
      const headEnd = held.indexOf('\r\n\r\n');
      if (headEnd < 0) return;
      const length = Number(/content-length: *(\d+)/i.exec(held.toString('latin1', 0, headEnd))?.[1]);
      const end = headEnd + 4 + length;
      if (held.length < end) return;
      const text = held.toString('utf8', headEnd + 4, end);
      held = held.subarray(end);
      onMessage(text);
    }
  };
}

/** A message with its header. */
export function frame(message: unknown): string {
  const text = JSON.stringify(message);
  return `Content-Length: ${Buffer.byteLength(text)}\r\n\r\n${text}`;
}
