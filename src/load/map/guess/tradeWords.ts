/**
 * Words of the trade in column names and cells, in German, English, French, Spanish and Italian; small letters without
 * accents. Common practice, no source. Several words that belong together are joined by a hyphen.
 */

const list = (words: string) => words.split(/\s+/);

/** Our column, or a part of one, and the words for it. The first that fits counts. */
export const columnWords: [string, string[]][] = [
    ['caster_method', list('caster-method')],
    ['caster_sweep_deg', list('caster-sweep-deg caster-sweep-angle sweep-angle')],
    ['camber_deg', list('camber sturz radsturz carrossage caida campanatura')],
    ['caster_deg', list('caster castor nachlauf chasse avance incidenza')],
    [
        'sai_deg',
        list(
            'sai kpi kingpin spreizung pivot pivote montante steering-axis-inclination inclinacion inclinazione',
        ),
    ],
    [
        'toe_deg',
        list(
            'toe spur vorspur einzelspur gesamtspur pince pincement parallelisme convergencia paralelismo convergenza',
        ),
    ],
    ['offset_out_mm', list('offset-out lateral-offset')],
    ['offset_aft_mm', list('offset-aft longitudinal-offset')],
    ['mark_2', list('mark-2 marke-2 skala-2 repere-2 marca-2 tacca-2')],
    ['mark_1', list('mark marks marke skala repere marca tacca')],
    ['plate_index', list('index indice')],
    ['plate_hand', list('hand plate-hand')],
    ['ride_height_mm', list('ride-height height fahrhohe fahrzeughohe hauteur altura altezza')],
    [
        'tyre_kpa',
        list('tyre tire pressure tyre-pressure reifendruck luftdruck druck pression presion pressione'),
    ],
    ['driver_aboard', list('driver-aboard fahrer-an-bord')],
    ['fuel_l', list('fuel kraftstoff tankinhalt carburant combustible carburante')],
    ['rolled', list('rolled')],
    ['bolts_tight', list('bolts-tight')],
    ['place', list('place bay messplatz buehne hebebuhne')],
    ['remounted', list('remounted')],
    ['date', list('date datum fecha data datetime timestamp zeitpunkt messzeit messdatum measured-at when')],
    ['time', list('time uhrzeit zeit heure hora ora')],
    ['visit', list('visit order job auftrag auftragsnummer auftragsnr ordre dossier orden ordine commessa')],
    ['visit_kind', list('reason anlass motif motivo')],
    ['phase', list('phase state stage status zustand etat estado stato fase')],
    ['axle', list('axle achse essieu eje asse')],
    ['side', list('side seite cote lado lato')],
    ['corner', list('corner wheel rad radposition ecke roue rueda ruota position')],
    ['repeat', list('repeat wiederholung repetition repeticion ripetizione')],
    ['session', list('session sitzung lauf sesion sessione')],
    [
        'vehicle',
        list(
            'plate registration reg license licence kennzeichen kennz kfz fahrzeug vehicle car immatriculation vehicule voiture matricula vehiculo coche targa veicolo vettura',
        ),
    ],
    [
        'chassis',
        list(
            'chassis platform plattform fahrgestell plateforme plataforma piattaforma baureihe model modell modele modelo modello telaio',
        ),
    ],
    [
        'technician',
        list(
            'technician operator prufer pruefer mechaniker monteur techniker technicien operateur tecnico operador operatore',
        ),
    ],
    ['gauge', list('gauge equipment gerat geraet messgerat messgeraet appareil equipo strumento')],
    ['kit', list('kit')],
    ['target', list('target ziel zielwert objectif objetivo obiettivo')],
    [
        'note',
        list(
            'note notes comment comments remark remarks bemerkung bemerkungen hinweis hinweise notiz kommentar remarque commentaire nota observaciones osservazioni',
        ),
    ],
];

export const cornerWords: Record<string, string[]> = {
    FL: list('fl lf vl avg'),
    FR: list('fr rf vr avd'),
    RL: list('rl lr hl arg'),
    RR: list('rr hr ard'),
};

/** Corner codes that are words of their language too, so that they count in capitals only. */
export const capitalCorners: Record<string, string[]> = {
    FL: list('DI AS'),
    FR: list('DD AD'),
    RL: list('TI PS'),
    RR: list('TD PD'),
};

export const axleWords: Record<string, string[]> = {
    front: list(
        'front vorn vorne vorderachse va avant av delantera delantero delanteras anteriore anteriori ant',
    ),
    rear: list('rear hinten hinterachse ha arriere ar trasera trasero traseras posteriore posteriori post'),
};

export const sideWords: Record<string, string[]> = {
    left: list('left links gauche izquierda izquierdo izq sinistra sinistro sx'),
    right: list('right rechts droite droit derecha derecho der destra destro dx'),
};

/** A letter or two in the cells of a column of axles or sides; D is the right in French, Spanish and Italian. */
export const axleCells: Record<string, string[]> = { front: list('v f av va'), rear: list('h r ar ha') };
export const sideCells: Record<string, string[]> = { left: list('l g i s sx'), right: list('r d dx') };

export const phaseWords: Record<string, string[]> = {
    before: list(
        'before vorher vor eingang eingangsmessung avant initial initiale antes inicial previo prima iniziale found as-found',
    ),
    moved: list('moved verschoben deplace movido spostato'),
    after: list('after nachher nach ausgang ausgangsmessung apres final finale despues dopo as-left'),
};

export const yesNoWords: Record<string, string[]> = {
    yes: list('yes ja oui si y j x true 1'),
    no: list('no nein non n false 0'),
};

export const totalWords = list('total totale gesamt ges gesamtspur totaal global globale');
export const wheelWords = list(
    'einzelspur einzel single individual individuel individuelle parcial parziale semi per-wheel pro-rad par-roue por-rueda per-ruota',
);

/** Nominal values and limits, which are no readings. */
export const nominalWords = list(
    'soll sollwert nominal consigne nominale spec specification min max toleranz tolerance tolerancia tolleranza',
);

/** Readings with the steering turned. */
export const steeredWords = list(
    'einschlag eingeschlagen steered lock turned braque braquage giro girado sterzata sterzato',
);

export const unitWords: Record<string, string[]> = {
    mm: list('mm'),
    cm: list('cm'),
    inch: list('inch inches zoll pouce pouces pulgada pulgadas pollice pollici'),
    arcmin: list('arcmin minuten minutes minutos minuti'),
    kPa: list('kpa'),
    bar: list('bar'),
    psi: list('psi'),
    l: list('litre litres liter liters litro litros litri'),
    deg: list('deg degree degrees grad degres grados gradi'),
};
