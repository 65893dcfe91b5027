import { Option } from 'commander';
import { limits } from '../library/limits.js';
import { numberOption } from './settingOptions.js';

/** The options that tell how far a turn of the tie rod turns the wheel; `forWhat`: what they go with. */
export const tieRodOptions = (forWhat = ''): Option[] => [
    numberOption(
        '--thread-pitch <mm>',
        `${forWhat}with --arm-length: give the toe to put back in turns of the tie rod too; pitch of its thread`,
        limits.threadPitch,
    ),
    numberOption(
        '--arm-length <mm>',
        `${forWhat}with --thread-pitch: steering arm, from the tie-rod end to the steering axis`,
        limits.armLength,
    ),
    new Option(
        '--both-threads',
        `${forWhat}the sleeve has a left- and a right-hand thread: a turn counts twice`,
    ),
];
