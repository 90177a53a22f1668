// Renders a form from the published schema with a generic generator, and says what the form offers.
// Arguments: the schema, a proposal to fill it with, the page to write.
import fs from 'node:fs';
import React from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { getDefaultRegistry, withTheme } from '@rjsf/core';
import { customizeValidator } from '@rjsf/validator-ajv8';
import Ajv2020 from 'ajv/dist/2020.js';

const [schemaFile, proposalFile, pageFile] = process.argv.slice(2);
const schema = JSON.parse(fs.readFileSync(schemaFile, 'utf8'));
const formData = JSON.parse(fs.readFileSync(proposalFile, 'utf8'));
const ajv = new Ajv2020({ strict: false });
const objectOf = (said) => {
  const found = [said, said.items ?? {}, ...(said.anyOf ?? [])].find((one) => one.$ref);
  return found && schema.$defs[found.$ref.split('/').pop()];
};
const holds = (condition, value) => condition === undefined || ajv.compile(condition)(value);
const shown = [];
const flags = [];

// What the generator is told beside the schema: members that are not worth asking for are hidden.
function hints(object, here) {
  const told = {};
  for (const [name, said] of Object.entries(object.properties)) {
    const asked = said['x-shown-when'] ?? {};
    if (!holds(asked.here, here ?? {}) || !holds(asked.proposal, formData)) {
      told[name] = { 'ui:widget': 'hidden' };
      continue;
    }
    const inner = objectOf(said);
    const value = (here ?? {})[name];
    shown.push(said.title);
    if (inner === undefined && [].concat(said.type).includes('boolean')) flags.push(said.title);
    if (inner !== undefined && !said.items && value != null) told[name] = hints(inner, value);
    if (inner !== undefined && said.items && value?.length) told[name] = { items: hints(inner, value[0]) };
  }
  return told;
}

const uiSchema = hints(schema, formData);
const validator = customizeValidator({ AjvClass: Ajv2020, ajvOptionsOverrides: { strict: false } });
const { SelectWidget } = getDefaultRegistry().widgets;
// A checkbox knows two answers; a flag has three, which the schema names.
const Flag = (props) =>
  React.createElement('label', { htmlFor: props.id }, props.label, React.createElement(SelectWidget, props));
const Form = withTheme({ widgets: { CheckboxWidget: Flag } });
const page = renderToStaticMarkup(React.createElement(Form, { schema, uiSchema, formData, validator }));
fs.writeFileSync(pageFile, `<!DOCTYPE html><meta charset="utf-8"><title>Proposal</title>${page}`);

const text = page.replaceAll('&#x27;', "'").replaceAll('&amp;', '&');
const missing = [...new Set(shown)].filter((title) => !text.includes(title));
const choices = (page.match(/>yes<\/option><option[^>]*>no<\/option><option[^>]*>not known<\/option>/g) ?? []).length;
const errors = validator.validateFormData(formData, schema).errors;
console.log(`members shown: ${shown.length}, of these flags: ${flags.length}`);
console.log(`fields: ${(page.match(/<(input|select|textarea)\b/g) ?? []).length}; yes, no, not known: ${choices}`);
console.log(`titles that the form lacks: ${missing.join(', ') || 'none'}; errors in the example: ${errors.length}`);
process.exitCode = missing.length || errors.length || choices < flags.length ? 1 : 0;
