// Clears what an earlier build made and copies the schema, which the package
// reads when it starts, to where the package has it.
import {cpSync, rmSync} from 'node:fs';

for (const made of ['dist', 'src/gen']) rmSync(made, {recursive: true, force: true});
cpSync('../../proto', 'dist/proto', {
  recursive: true,
  filter: (path) => !/\.[a-z]+$/.test(path) || path.endsWith('.proto'),
});
