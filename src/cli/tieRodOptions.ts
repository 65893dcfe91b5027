import { Option } from 'commander';
import { onlyWith, pitchWithoutArm } from '../errors/askMessages.js';
import { UsageError } from '../errors/errors.js';
import { numberOption } from './settingOptions.js';

export interface TieRod {
    threadPitch?: number;
    armLength?: number;
    bothThreads?: true;
}

/** The options that tell how far a turn of the tie rod turns the wheel; `forWhat`: what they go with. */
export const tieRodOptions = (forWhat = ''): Option[] => [
    numberOption(
        '--thread-pitch <mm>',
        `${forWhat}with --arm-length: give the toe to put back in turns of the tie rod too; pitch of its thread`,
        [0.5, 4],
    ),
    numberOption(
        '--arm-length <mm>',
        `${forWhat}with --thread-pitch: steering arm, from the tie-rod end to the steering axis`,
        [50, 300],
    ),
    new Option(
        '--both-threads',
        `${forWhat}the sleeve has a left- and a right-hand thread: a turn counts twice`,
    ),
];

/** A UsageError where only a part of what they need is given. */
export function requireWhole({ threadPitch, armLength, bothThreads }: TieRod): void {
    if ((threadPitch === undefined) !== (armLength === undefined)) throw new UsageError(pitchWithoutArm());
    if (bothThreads && threadPitch === undefined) {
        throw new UsageError(onlyWith('--both-threads', '--thread-pitch and --arm-length'));
    }
}
