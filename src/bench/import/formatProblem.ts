/** A binary file that is not what it should be: what was found, what is allowed. */
export class FormatProblem extends Error {
  readonly found: string;
  readonly allowed: string;

  constructor(found: string, allowed: string) {
    super(`${found}; ${allowed}`);
    this.name = "FormatProblem";
    this.found = found;
    this.allowed = allowed;
  }
}
