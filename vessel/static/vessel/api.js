// The page of the API: draws the description. Signed in on the pages one may only read, so only GET can be tried.
SwaggerUIBundle({
  url: document.getElementById("api").dataset.schema,
  dom_id: "#api",
  presets: [SwaggerUIBundle.presets.apis],
  layout: "BaseLayout",
  validatorUrl: null,
  supportedSubmitMethods: ["get"],
});
