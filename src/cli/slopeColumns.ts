import type { SlopeRow } from '../contracts/results/slopes.js';
import type { TableColumn } from './output.js';

/** What people see of a slope. */
export const slopeColumns = [
    { title: 'chassis', value: 'chassis' },
    { title: 'angle', value: (row) => row.response.replace('_deg', '') },
    { title: 'per mm', value: 'axis' },
    { title: 'deg/mm', value: 'estimate_deg_per_mm', digits: 4 },
    { drop: 3, title: 'std error', value: 'std_error_deg_per_mm', digits: 4 },
    { drop: 6, title: '95 % from', value: 'conf_low_deg_per_mm', digits: 4 },
    { drop: 6, title: 'to', value: 'conf_high_deg_per_mm', digits: 4 },
    { drop: 5, title: 'moves', value: 'move_count', digits: 0 },
    { drop: 4, title: 'cars', value: 'vehicle_count', digits: 0 },
    { title: 'shrunken', value: 'shrunk_deg_per_mm', digits: 4 },
    { drop: 1, title: 'std error', value: 'shrunk_std_error_deg_per_mm', digits: 4 },
    { drop: 2, title: 'length mm', value: 'effective_length_mm', digits: 0 },
    { title: 'remark', value: (row) => row.flag ?? row.reason ?? '' },
] satisfies TableColumn<SlopeRow>[];
