import { Command, CommanderError, Option } from 'commander';
import { failedQuery } from '../db/failedQuery.js';
import { UsageError } from '../errors/errors.js';
import { mendable } from '../errors/mendable.js';
import { bugDetails, bugOfOurs, notASize } from '../errors/messages.js';
import { hintsAsk, programName } from '../errors/programName.js';
import { limits } from '../library/limits.js';
import { packageVersion } from '../packageRoot.js';
import type { CommandModule, Context, GlobalOptions } from './command.js';
import advise from './commands/advise.js';
import audit from './commands/audit.js';
import cautions from './commands/cautions.js';
import check from './commands/check.js';
import clocking from './commands/clocking.js';
import completion from './commands/completion.js';
import demo from './commands/demo.js';
import drift from './commands/drift.js';
import exportCommand from './commands/export.js';
import forget from './commands/forget.js';
import gauges from './commands/gauges.js';
import history from './commands/history.js';
import init from './commands/init.js';
import load from './commands/load.js';
import map from './commands/map.js';
import merge from './commands/merge.js';
import plan from './commands/plan.js';
import range from './commands/range.js';
import rejects from './commands/rejects.js';
import report from './commands/report.js';
import serve from './commands/serve.js';
import share from './commands/share.js';
import slopes from './commands/slopes.js';
import stack from './commands/stack.js';
import watch from './commands/watch.js';
import { Output, visibleLines } from './output.js';
import { numberOption } from './settingOptions.js';
import { showStart } from './start.js';

const EXIT = { done: 0, user: 1, usage: 2, bug: 70 } as const;

/** Every command by its name, in the order of --help. */
export const commands: Readonly<Record<string, CommandModule>> = {
    init,
    load,
    map,
    rejects,
    forget,
    check,
    slopes,
    gauges,
    drift,
    audit,
    plan,
    range,
    clocking,
    advise,
    history,
    stack,
    report,
    watch,
    serve,
    export: exportCommand,
    share,
    merge,
    demo,
    cautions,
    completion,
};

function memorySize(text: string): string {
    if (!/^\d+(\.\d+)? ?[MG]i?B$/i.test(text)) throw new UsageError(notASize(text));
    return text;
}

function globalOptions(command: Command): Command {
    return command
        .addOption(new Option('--db <file>', 'database file').default('strutmark.duckdb'))
        .addOption(
            new Option(
                '--readings <dir>',
                'folder of Parquet files with more readings, read in place; not for map, rejects and forget, nor for the rows that load stores',
            ),
        )
        .addOption(
            numberOption(
                '--wait <seconds>',
                'how long to wait while another process holds the database',
                limits.wait,
            ).default(0, 'not at all'),
        )
        .addOption(
            new Option(
                '--memory <size>',
                'memory that the database may take, such as 2GB; the rest goes to DB.tmp on disk',
            ).argParser(memorySize),
        )
        .option('--json', 'one JSON object on stdout, nothing else')
        .option('--quiet', 'no notes, warnings or progress')
        .option('--wide', 'all columns of a table, also where the terminal is narrower')
        .addOption(new Option('--debug', 'show query and stack of an unexpected error').hideHelp());
}

/** The program with all its commands, each with its context. */
export function commandTree(contextOf: (command: Command) => Context): Command {
    const program = globalOptions(new Command(programName()))
        .description(
            'Alignment readings in; what a millimetre at the strut-top bearing is worth, where to put it, and whether it held.',
        )
        .version(packageVersion())
        .configureOutput({ writeErr: (text) => process.stderr.write(visibleLines(text)) })
        .showHelpAfterError(`(${programName()} COMMAND --help shows what it takes)`)
        .exitOverride();
    for (const [name, module] of Object.entries(commands)) {
        const command = program.command(name).description(module.describe).exitOverride();
        command.showHelpAfterError(`(${programName()} ${name} --help shows what it takes)`);
        command.configureHelp({ showGlobalOptions: true });
        module.build(command, contextOf(command));
        command.addHelpText('after', `\nExample:\n  ${programName()} ${module.example}`);
    }
    return program;
}

/** Commands whose answers are read elsewhere too, where a folder of this machine says nothing. */
const pages = ['report', 'serve'];

/**
 * Runs the command line `argv` (without node and script) and returns the exit status:
 * 0 done, 1 the user can mend it, 2 bad usage, 3 rows were set aside, 70 a bug of ours.
 */
export async function runProgram(argv: readonly string[], signal: AbortSignal): Promise<number> {
    let exitCode: number = EXIT.done;
    const contextOf = (command: Command, name = command.name()): Context => ({
        get options() {
            return command.optsWithGlobals<GlobalOptions>();
        },
        get output() {
            return new Output(name, this.options);
        },
        signal,
        setExitCode: (code) => {
            exitCode = code;
        },
    });
    const program = commandTree(contextOf);
    try {
        program.hook('preAction', (_, command) =>
            hintsAsk(pages.includes(command.name()) ? {} : program.opts()),
        );
        if (nothingAskedFor(program, argv)) {
            hintsAsk(program.opts());
            await showStart(contextOf(program, 'start'));
        } else await program.parseAsync(argv, { from: 'user' });
        return exitCode;
    } catch (error) {
        return failure(error, argv, signal, program.opts().memory);
    } finally {
        hintsAsk({});
    }
}

/** Whether `argv` holds nothing but options of the program itself. */
function nothingAskedFor(program: Command, argv: readonly string[]): boolean {
    if (argv.some((word) => ['-h', '--help', '-V', '--version', 'help'].includes(word))) return false;
    const { operands, unknown } = program.parseOptions([...argv]);
    return operands.length === 0 && unknown.length === 0;
}

function complain(text: string): void {
    process.stderr.write(`${visibleLines(text)}\n`);
}

function failure(
    error: unknown,
    argv: readonly string[],
    signal: AbortSignal,
    memory: string | undefined,
): number {
    if (error instanceof CommanderError) return error.exitCode === 0 ? EXIT.done : EXIT.usage;
    if (error instanceof UsageError) {
        complain(`error: ${error.message}`);
        return EXIT.usage;
    }
    const reason = mendable(error, memory)?.message ?? null;
    if (reason !== null) {
        complain(`error: ${reason}`);
        return EXIT.user;
    }
    if (signal.aborted) {
        complain('Stopped; what was in hand is as it was before.');
        return EXIT.user;
    }
    const debugged = argv.includes('--debug');
    const { message, stack } = error instanceof Error ? error : new Error(String(error));
    complain(bugOfOurs(message, argv, packageVersion(), debugged));
    if (debugged) {
        const system = `Strutmark ${packageVersion()}, Node ${process.version}, ${process.platform} ${process.arch}`;
        complain(bugDetails(system, failedQuery(error), String(stack)));
    }
    return EXIT.bug;
}
