import { mkdtempSync, readdirSync, realpathSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { build } from 'esbuild';
import { packageRoot } from '../../src/packageRoot.js';

export interface Program {
    /** Script of the command line. */
    main: string;
    close(): void;
}

/** The program as the sources stand now, in a folder of its own, for tests that need real processes. */
export async function transpiledProgram(): Promise<Program> {
    const root = packageRoot();
    const folder = realpathSync(mkdtempSync(join(tmpdir(), 'program-')));
    await build({
        entryPoints: [`${root}/src/**/*.ts`, `${root}/reports/**/*.ts`],
        outbase: root,
        outdir: join(folder, 'dist'),
        format: 'esm',
        platform: 'node',
        target: 'node20',
    });
    symlinkSync(join(root, 'dist', 'browser'), join(folder, 'dist', 'browser'));
    for (const name of readdirSync(root)) {
        if (name !== 'dist' && !name.startsWith('.')) symlinkSync(join(root, name), join(folder, name));
    }
    return {
        main: join(folder, 'dist', 'src', 'cli', 'main.js'),
        close: () => rmSync(folder, { recursive: true }),
    };
}
