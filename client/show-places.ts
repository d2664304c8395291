// What a lens leads to: a place in a text, or several of them in a list over the text.
import { commands, type Disposable, Location, Position, Range, Uri } from 'vscode';

export const SHOW_PLACES = 'gusset.showPlaces';

interface Place {
  readonly uri: string;
  readonly range: Range;
}

export function registerShowPlaces(): Disposable {
  return commands.registerCommand(SHOW_PLACES, (uri: string, { line, character }: Position, places: readonly Place[]) =>
    commands.executeCommand(
      'editor.action.goToLocations',
      Uri.parse(uri),
      new Position(line, character),
      places.map(
        ({ uri, range: { start, end } }) =>
          new Location(Uri.parse(uri), new Range(start.line, start.character, end.line, end.character)),
      ),
      'peek',
    ),
  );
}
