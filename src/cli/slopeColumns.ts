import type { SlopeRow } from '../contracts/results/slopes.js';
import type { TableColumn } from './output.js';

/** What people see of a slope. */
export const slopeColumns: TableColumn<SlopeRow>[] = [
    { title: 'chassis', value: (row) => row.chassis },
    { title: 'angle', value: (row) => row.response.replace('_deg', '') },
    { title: 'per mm', value: (row) => row.axis },
    { title: 'deg/mm', value: (row) => row.estimate_deg_per_mm, digits: 4 },
    { drop: 3, title: 'std error', value: (row) => row.std_error_deg_per_mm, digits: 4 },
    { drop: 6, title: '95 % from', value: (row) => row.conf_low_deg_per_mm, digits: 4 },
    { drop: 6, title: 'to', value: (row) => row.conf_high_deg_per_mm, digits: 4 },
    { drop: 5, title: 'moves', value: (row) => row.move_count, digits: 0 },
    { drop: 4, title: 'cars', value: (row) => row.vehicle_count, digits: 0 },
    { title: 'shrunken', value: (row) => row.shrunk_deg_per_mm, digits: 4 },
    { drop: 1, title: 'std error', value: (row) => row.shrunk_std_error_deg_per_mm, digits: 4 },
    { drop: 2, title: 'length mm', value: (row) => row.effective_length_mm, digits: 0 },
    { title: 'remark', value: (row) => row.flag ?? row.reason ?? '' },
];
