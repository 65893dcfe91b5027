/** Whether a process of this number runs; so it is taken where that cannot be told. */
export function isRunning(pid: number): boolean {
    try {
        return process.kill(pid, 0);
    } catch (error) {
        return (error as NodeJS.ErrnoException).code !== 'ESRCH';
    }
}
