import { expect, test } from 'vitest';
import { valuesOf } from './values.ts';

// How far a bent screw swings its nut about, and how far the nut's play lets it: by the slopes of bent beams, and by exact geometry.

const drive = (said: string) =>
  valuesOf(`machine Bench {
  ambient = 20 degC
  moving_bed motion {
    carriage_mass = 0.5 kg
    bed_mass = 1 kg
    z {
      travel = 250 mm
      screw_drive drive {
        motor is nema17_40mm
        screw is screw_8x2 {
          length = 300 mm
          ${said}
        }
      }
    }
  }
}
`);

/**
 * Slope at the end by the bow in the middle, times the length, of beams held at both ends: Shigley, Mechanical Engineering Design, 8th ed.,
 * table A-9, cases 5 and 7 (from memory): F l^2 / (16 E I) by F l^3 / (48 E I), and w l^3 / (24 E I) by 5 w l^4 / (384 E I). Bent
 * evenly, as by moments at both ends: M l / (2 E I) by M l^2 / (8 E I).
 */
const slopes = { atTheMiddle: 48 / 16, byItsWeight: 384 / (5 * 24), evenly: 8 / 2 };

test.each([0.1, 0.3, 0.8])('a screw that is bent by %d mm swings at its ends as bent beams do', (bend) => {
  const swings = drive(`bend = ${bend} mm`)('motion.z.drive.nut_swings');
  const bow = bend / 300;
  expect(swings).toBeGreaterThan(slopes.atTheMiddle * bow);
  expect(swings).toBeLessThan(slopes.evenly * bow);
  // Half a sine lies beside what a load all along bends; how a screw was bent nobody knows.
  expect(Math.abs(swings / (slopes.byItsWeight * bow) - 1)).toBeLessThan(0.02);
});

test.each([
  [0.1, 10],
  [0.05, 20],
  [0.2, 40],
])('a nut with %d mm of play, %d mm long, stands askew until two of its corners touch', (play, length) => {
  const gives = drive(`nut_play = ${play} mm\n nut_length = ${length} mm`)('motion.z.drive.nut_gives');
  // A bar of 8 mm that lies aslant in a sleeve is as wide there as d / cos + l tan: solved by halving.
  let [low, high] = [0, 0.2];
  for (let i = 0; i < 60; i++) {
    const angle = (low + high) / 2;
    if (8 / Math.cos(angle) + length * Math.tan(angle) > 8 + play) high = angle;
    else low = angle;
  }
  expect(Math.abs(gives / low - 1)).toBeLessThan(0.02);
});
