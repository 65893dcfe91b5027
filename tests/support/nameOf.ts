import type { CommandModule } from '../../src/cli/command.js';
import { commands } from '../../src/cli/program.js';

/** The name of a command. */
export const nameOf = (module: CommandModule) =>
    Object.entries(commands).find(([, one]) => one === module)![0];
