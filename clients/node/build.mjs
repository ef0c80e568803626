// Removes an earlier build and copies the schema, which the package reads when it starts,
// into the package.
import {cpSync, rmSync} from 'node:fs';

for (const made of ['dist', 'src/gen']) rmSync(made, {recursive: true, force: true});
cpSync('../../proto', 'dist/proto', {
  recursive: true,
  filter: (path) => !/\.[a-z]+$/.test(path) || path.endsWith('.proto'),
});
