import { Formula, isMissing, Unknown, type Value } from '../values/value.ts';

/**
 * All that is in the way of something: what comes off first, and what comes off before each of these, each once and behind all that comes
 * off before it (a topological order, depth first). In a ring the order ends where it would begin anew: whoever asks for one of its parts
 * finds that part among what comes off before it.
 */
export function inTheWay(first: Value, before: Value): Value {
  if (!Array.isArray(first)) return isMissing(first) ? first : new Unknown([]);
  if (!(before instanceof Formula)) return isMissing(before) ? before : new Unknown([]);
  const met = new Set<Value>();
  const off: Value[] = [];
  const take = (part: Value): Value | undefined => {
    if (isMissing(part)) return part;
    if (met.has(part)) return undefined;
    met.add(part);
    const under = before.call(part);
    if (!Array.isArray(under)) return isMissing(under) ? under : new Unknown([]);
    for (const each of under) {
      const missing = take(each as Value);
      if (missing) return missing;
    }
    off.push(part);
    return undefined;
  };
  for (const part of first) {
    const missing = take(part as Value);
    if (missing) return missing;
  }
  return off;
}
