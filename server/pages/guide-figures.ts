/** The figures by the names under which views/guide prints them. */
export const guideFigures = {} as const;
