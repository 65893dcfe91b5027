import { spawnSync } from 'node:child_process';

/** Another way to the slopes: a program, the script of `bench/others` that it runs, and what it is made of. */
export interface Other {
    name: string;
    script: string;
    /** Null where it is not installed. */
    program: string | null;
    versions: string;
}

function answers(program: string, args: readonly string[]): string | null {
    const found = spawnSync(program, args, { encoding: 'utf8' });
    return found.status === 0 ? found.stdout.trim() : null;
}

const askR =
    'cat(R.version$major, R.version$minor, packageDescription("data.table")$Version, packageDescription("MASS")$Version)';
const askPython =
    'import pandas, platform, statsmodels; print(platform.python_version(), pandas.__version__, statsmodels.__version__)';

/** R and Python with the packages that a user would take, as far as they are installed. */
export function others(): Other[] {
    const r = answers('Rscript', ['-e', askR])?.split(' ');
    // Debian's packages belong to its own interpreter, which need not be the first on the path.
    const python = ['python3', '/usr/bin/python3']
        .map((program) => ({ program, versions: answers(program, ['-c', askPython])?.split(' ') }))
        .find(({ versions }) => versions !== undefined);
    return [
        {
            name: 'R',
            script: 'slopes.R',
            program: r === undefined ? null : 'Rscript',
            versions:
                r === undefined
                    ? 'needs data.table and MASS'
                    : `R ${r[0]}.${r[1]}, data.table ${r[2]}, MASS ${r[3]}`,
        },
        {
            name: 'Python',
            script: 'slopes.py',
            program: python?.program ?? null,
            versions:
                python === undefined
                    ? 'needs pandas and statsmodels'
                    : `Python ${python.versions![0]}, pandas ${python.versions![1]}, statsmodels ${python.versions![2]}`,
        },
    ];
}
