// Runs in a living page: the checker, and what answers its inputs. It asks nothing of any network.
import { libraryFiles } from '../language/library/generated/library.ts';
import { readLibrary } from '../language/project.ts';
import { live } from './living-document.ts';

/** How long (ms) nothing is moved before it is computed. */
const pause = 120;

let timer: ReturnType<typeof setTimeout> | undefined;
const later = (work: () => void) => {
  clearTimeout(timer);
  timer = setTimeout(work, pause);
};
// What can be read is drawn first.
setTimeout(() => {
  live(
    document,
    JSON.parse(document.getElementById('machine-text')?.textContent ?? ''),
    readLibrary(libraryFiles),
    later,
  );
});
