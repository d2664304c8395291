// Takes the picture of the README, client/media/heron.png, and the same view in each theme into a folder to look at.
//
//   npm run screenshot [-- FOLDER]      without a folder, only the README's picture
//   npm run screenshot -- --steps [FOLDER]      those of the walkthrough in client/media/steps or, with what else there is to see, in a folder
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
// @ts-expect-error: plain JavaScript, for it runs before TypeScript is there.
import { packageExtension } from '../../client/package.mjs';
import { type Editor, openSession, root, themes } from './harness.ts';
import { shipped, takeSteps } from './steps.ts';

const picture = join(root, 'client', 'media', 'heron.png');

/** A wide, calm view: the text and nothing beside it. */
const settings = {
  'workbench.colorTheme': themes.light,
  'workbench.activityBar.location': 'hidden',
  'workbench.statusBar.visible': true,
  'breadcrumbs.enabled': false,
  'editor.stickyScroll.enabled': false,
  'editor.minimap.enabled': false,
  'editor.fontSize': 13,
  'editor.cursorBlinking': 'solid',
  'window.commandCenter': false,
  'gusset.checkUnopenedFiles': false,
};

/** Where the area of the bed's wire stands, from 1. */
function wireArea() {
  const source = readFileSync(join(root, 'examples', 'heron.gusset'), 'utf8');
  const start = source.indexOf('2.5 mm^2', source.indexOf('circuit bed_power'));
  if (start < 0) throw new Error("examples/heron.gusset has no wire of 2.5 mm^2 in the bed's circuit");
  const before = source.slice(0, start).split('\n');
  return { line: before.length, column: before.at(-1)!.length + 1 };
}

/** A thinner wire than the current asks for, with what the tool says of it. */
async function showFinding(editor: Editor) {
  const { line, column } = wireArea();
  await editor.goTo(line, column);
  await editor.press('Delete', 'Delete', 'Delete');
  await editor.type('0.5');
  await editor.errors.first().waitFor();
  await lowerOnScreen(editor);
  // 0.5 mm^2 carries 7.5 A there: the picture shows what belongs to the text as it is now.
  await editor.inlineValue('place = bed', /capacity 7\./);
  await editor.inlineValue('path = [psu, fuse, relay', /current 9\./);
  // What was found stands below, the ways out at its place.
  await editor.run('Problems: Focus on Problems View');
  await editor.page.locator('.markers-panel').getByText('overheats').first().waitFor();
  await editor.goTo(line, column + 1);
  await lowerOnScreen(editor);
  // Before its first way out was tried, which takes a moment after an edit, the editor says that there is none.
  await editor.page.locator('.monaco-editor [class*="codicon-gutter-lightbulb"]').first().waitFor();
  await editor.press('Control+.');
  await editor.page.locator('.action-widget').getByText('Take').first().waitFor();
}

/** What is shown below its line has room there, with some of the text before it in sight. */
async function lowerOnScreen(editor: Editor) {
  for (let lines = 8; lines > 0; lines--) await editor.press('Control+ArrowUp');
}

async function takePictures(folder: string | undefined) {
  const examples = mkdtempSync(join(tmpdir(), 'gusset-examples-'));
  cpSync(join(root, 'examples'), examples, { recursive: true });
  const extension: string = await packageExtension();
  const session = await openSession(examples, 'heron.gusset', {
    extension,
    settings,
    width: 1180,
    height: 860,
    scale: 2,
  });
  const { editor } = session;
  try {
    await editor.inlineValue('mains = 230 V', 'W');
    await editor.run('View: Close Primary Side Bar');
    await showFinding(editor);
    await editor.screenshot(picture);
    console.log(picture);
    await editor.press('Escape');
    if (folder) await showThemes(editor, folder);
  } finally {
    await session.stop();
    rmSync(examples, { recursive: true, force: true });
  }
}

async function showThemes(editor: Editor, folder: string) {
  mkdirSync(folder, { recursive: true });
  const { line, column } = wireArea();
  for (const theme of Object.keys(themes) as (keyof typeof themes)[]) {
    await editor.setTheme(theme);
    await editor.goTo(line, column);
    await lowerOnScreen(editor);
    await editor.hover();
    const path = join(folder, `${theme}.png`);
    await editor.screenshot(path);
    console.log(path);
    await editor.press('Escape');
  }
}

/** A machine that does not say much yet. */
const half = `/// A bed to begin with.
machine Small {
  ambient = 15 degC .. 28 degC
  mains = 230 V
  supply psu is supply_24v_350w
  bed {
    target = 60 degC
    plate {
      size = 180 mm x 180 mm
      thickness = 3 mm
      material = cast_aluminium
    }
    heater {
      power = 120 W
      voltage = 24 V
    }
  }
}
`;

async function takeStepPictures(folder: string | undefined) {
  const examples = mkdtempSync(join(tmpdir(), 'gusset-examples-'));
  cpSync(join(root, 'examples'), examples, { recursive: true });
  const text = readFileSync(join(examples, 'heron.gusset'), 'utf8');
  writeFileSync(join(examples, 'thin.gusset'), text.replace('2.5 mm^2', '0.5 mm^2'));
  writeFileSync(join(examples, 'half.gusset'), half);
  const extension: string = await packageExtension();
  const session = await openSession(examples, 'heron.gusset', { extension, settings, width: 900, height: 600 });
  try {
    await session.editor.inlineValue('mains = 230 V', 'W');
    await session.editor.run('View: Close Primary Side Bar');
    const into = folder ?? join(root, 'client', 'media', 'steps');
    const failed = await takeSteps(session.editor, text, into, folder ? undefined : shipped);
    if (failed.length > 0) throw new Error(`Not taken:\n${failed.join('\n')}`);
  } finally {
    await session.stop();
    rmSync(examples, { recursive: true, force: true });
  }
}

const wanted = process.argv.slice(2);
const [folder] = wanted.filter((each) => !each.startsWith('--'));
try {
  if (wanted.includes('--steps')) await takeStepPictures(folder && resolve(folder));
  else await takePictures(folder && resolve(folder));
} catch (error) {
  console.error(error instanceof Error ? error.message : error);
  process.exitCode = 1;
}
