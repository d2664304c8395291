/** Changes that change nothing that anyone sees: `was` became `is` in a file, on the lines that say `on`, and why nothing changes. */
export const equivalent: readonly { file: string; on?: string; was: string; is: string; why: string }[];
